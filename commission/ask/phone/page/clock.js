// How far the program's clock is ahead of this page's (performance.now), in milliseconds:
// bounds that hold whatever the network does. Each exchange gives two; those of several are
// intersected, and widen with age.

import { changed } from './state.js';

// How fast two clocks may drift apart: two crystals of 50 ppm each (from memory). One that is being slewed moves faster for a
// while: bounds that exclude each other are made anew.
const PPM = 100e-6;
const EXCHANGES = 15, EVERY = 30e3, SOON = 2e3, TICK = 500, LEAST = 5;
// Where the bounds are further apart that is told, and the clocks are compared again soon: from 250 ms on they time no
// touch (record.WidestTap).
export const WIDE = 100; // milliseconds, half of it
// This page's clock stands still while the device sleeps, that of the day goes on: where they
// are so far apart since the last tick, it slept. A page that was only busy has lost nothing.
const SLEPT = 50;

let known = null; // {least, most, at, run, count}
let ahead = wallAhead();
let comparing = false, again = false, exchange = null, compared = 0;

// grain is the step of the timer: 0.1 ms, or the least that is seen where it is coarser. A device that is busy while the
// page begins makes one step long, hardly four: that would make every bound as wide, for ever.
export const grain = (() => {
	let least = Infinity, changes = 0, before = performance.now();
	for (const from = before; changes < 4 && before - from < 3000;) {
		const now = performance.now();
		if (now === before) continue;
		least = Math.min(least, now - before);
		before = now;
		changes++;
	}
	return Math.max(0.1, least < 0.9 ? 0.1 : least);
})();

// wallAhead is how far the clock of the day is ahead of this page's: by the reading of three between which least time
// passed, since a page may be held up between two clocks.
function wallAhead() {
	let least = Infinity, is = 0;
	for (let n = 0; n < 3; n++) {
		const before = performance.now(), wall = Date.now(), took = performance.now() - before;
		if (took < least) [least, is] = [took, wall - before - took / 2];
	}
	return is;
}

const slept = () => Math.abs(wallAhead() - ahead) > SLEPT;

// bounds are those that hold now, or null where the clock is not known.
export function bounds(at = performance.now()) {
	if (!known || known.count < LEAST || slept()) return null;
	const more = Math.abs(at - known.at) * PPM;
	return { least: known.least - more, most: known.most + more };
}

export const halfWidth = () => {
	const b = bounds();
	return b ? (b.most - b.least) / 2 : null;
};

// forget: the page may have slept, and its clock stood still.
export function forget() {
	known = null;
	compared = 0;
	changed();
}

// tap is the instant of an event of this page, with the bounds known for it.
export function tap(stamp, by) {
	const b = bounds(stamp);
	const whole = { device_nanosecond: Math.round(stamp * 1e6), least_nanosecond: 0, most_nanosecond: 0, by, run: known?.run ?? '' };
	if (!b) return { ...whole, unknown: true };
	return { ...whole, least_nanosecond: Math.floor(b.least * 1e6), most_nanosecond: Math.ceil(b.most * 1e6) };
}

// instant is when an event happened, by this page's clock.
export function instant(event) {
	const now = performance.now(), stamp = event?.timeStamp;
	return stamp > now - 10e3 && stamp <= now + 1 ? stamp : now;
}

// take takes what one exchange says. Bounds of another run of the program are forgotten.
function take(t0, t3, { came_nanosecond: came, sent_nanosecond: sent, run = '' }) {
	let least = sent / 1e6 - t3 - grain, most = came / 1e6 - t0 + grain, count = 1;
	if (known && known.run === run) {
		const more = (t3 - known.at) * PPM;
		const l = Math.max(least, known.least - more), m = Math.min(most, known.most + more);
		if (l <= m) [least, most, count] = [l, m, known.count + 1]; // else one of the clocks was set: anew
	}
	known = { least, most, count, at: t3, run };
	if (count === LEAST) changed();
}

// exchanged makes one exchange, and tells whether anything came back.
export async function exchanged() {
	const before = wallAhead(), t0 = performance.now();
	const came = await exchange?.(Math.round(t0 * 1e6));
	const t3 = performance.now();
	// One over which the page slept bounds nothing.
	if (came && Math.abs(wallAhead() - before) < SLEPT) take(t0, t3, came);
	return Boolean(came);
}

// compare makes the exchanges of one comparison. ask posts /clock and resolves to what came
// back, or null.
export async function compare() {
	if (comparing) {
		again = true;
		return;
	}
	comparing = true;
	do {
		again = false;
		for (let i = 0; i < EXCHANGES && exchange && !again; i++) if (!await exchanged()) break;
	} while (again);
	comparing = false;
	compared = Date.now();
}

// keepKnown looks every tick whether the page has slept, and compares again now and then.
export function keepKnown(ask, mayAsk) {
	exchange = ask;
	setInterval(() => {
		if (slept()) forget();
		ahead = wallAhead();
		if (mayAsk() && !comparing && (!bounds() || Date.now() - compared > (halfWidth() > WIDE ? SOON : EVERY))) compare();
	}, TICK);
	const left = () => {
		ahead = wallAhead();
		forget();
		if (document.visibilityState === 'visible' && mayAsk()) compare();
	};
	document.addEventListener('visibilitychange', left);
	addEventListener('pageshow', (e) => e.persisted && left());
}
