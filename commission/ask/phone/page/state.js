// What the page knows. Whoever changes it calls changed(); page.js draws it anew.

export const state = {
	texts: {},
	online: false,
	lostAt: 0, // Date.now() when the network went, 0 while it is there
	refused: '', // why this page has no visit: unpaired, gone
	last: '', // the last word of a visit that is gone
	talk: null,
	board: null,
	status: '',
	notices: [], // the newest first: {weight, text, tone, large, at}
	result: null, // the last notice with a tone
	pressing: [], // cautions and alarms that were not yet understood
	began: 0, // Date.now() when what stands began
	error: '', // why the last answer was not taken, as a sentence
	busy: false, // an answer is on its way
	tab: 'task',
	aim: '', // the detector that was chosen on the board: out of reach, or while roaming
	roomy: 'all', // which detectors the board shows
	lists: 0, // rises with every new board
};

const kept = (name, usual) => localStorage.getItem('lw-' + name) ?? usual;

// What a technician chose; it lasts.
export const chosen = {
	way: kept('way', 'tap'), // tap or count
	walk: Number(kept('walk', '8')), // seconds to walk, while counting
	sound: kept('sound', 'on') === 'on',
	voice: kept('voice', 'on') === 'on',
};

export function choose(name, value) {
	chosen[name] = value;
	localStorage.setItem('lw-' + name, typeof value === 'boolean' ? (value ? 'on' : 'off') : String(value));
	changed();
}

let draw = () => {}, due = false;
export const drawnBy = (f) => { draw = f; };

export function changed() {
	if (due) return;
	due = true;
	queueMicrotask(() => { due = false; draw(); });
}

// say is what stands for a code, with $1, $2 … filled in.
export function say(code, ...with_) {
	const text = state.texts[code] ?? code;
	return text.replace(/\$(\d)/g, (_, n) => with_[n - 1] ?? '');
}

// number is a value with so many decimals, as the language of the page writes it.
export const number = (value, decimals) => new Intl.NumberFormat(state.texts.lang ?? 'en',
	{ minimumFractionDigits: decimals, maximumFractionDigits: decimals, useGrouping: false }).format(value);

// many takes the sentence for one where n is 1.
export const many = (code, n) => say(code + (n === 1 ? '-one' : '-many'), n);

export const detectors = () => (state.board?.zones ?? []).flatMap(
	(z) => (z.detectors ?? []).map((d) => ({ ...d, zone: z })));

export const detector = (point) => point ? detectors().find((d) => d.point === point) : undefined;

export const holds = () => Boolean(state.talk?.holds) && !state.refused;

export function randomKey() {
	return Array.from(crypto.getRandomValues(new Uint8Array(16)), (b) => b.toString(16).padStart(2, '0')).join('');
}
