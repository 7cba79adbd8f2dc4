// What waits for nothing else on the page: the token of the address, which is gone from it
// at once, and what the page says.

const json = { 'Content-Type': 'application/json' };

// device is what this device says it is.
function device() {
	const agent = navigator.userAgent, system = /\(([^)]*)\)/.exec(agent)?.[1] ?? '';
	const browser = /(Firefox|FxiOS|EdgA?|CriOS|Chrome|Version)\/[\d.]+/.exec(agent)?.[0] ?? '';
	return [system, browser.replace('Version', 'Safari')].filter(Boolean).join(', ') || agent;
}

const token = location.hash.slice(1);
if (token) history.replaceState(null, '', '/');

const again = (f, tries = 8) => f().catch((e) => tries ? new Promise((r) => setTimeout(r, 600)).then(() =>
	again(f, tries - 1)) : Promise.reject(e));

// paired resolves to whether this phone may go on: an address without a token has its cookie.
export const paired = !token ? Promise.resolve(true) : again(() => fetch('/pair', { method: 'POST', headers: json,
	body: JSON.stringify({ token, device: device() }) })).then((r) => r.ok, () => false);

export const texts = again(() => fetch('/texts')).then((r) => r.json()).catch(() => ({}));
