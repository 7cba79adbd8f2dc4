// Taps that wait for the network: on this phone, past a reload, until they are delivered in
// their order. Every tap of a walk goes this way; with a network it does not wait.

import { state, changed, randomKey, holds } from './state.js';
import { once, lost, counts } from './link.js';

const STORE = 'lw-taps', AT_ONCE = 4000, LATER = 30e3, SOON = 1000; // the program waits 20 s for its turn

// Each is {key, serial, press, tap, expects, to, at, visit, tried, jumped, again}.
let taps = [];
let sending = false, again = false;

try {
	taps = JSON.parse(localStorage.getItem(STORE) ?? '[]');
} catch { /* what cannot be read was not written here */ }

const save = () => localStorage.setItem(STORE, JSON.stringify(taps));

// which visit a tap belongs to; another's must not have it.
const visit = () => state.board ? state.board.site + '\n' + state.board.visit : '';

export const kept = () => taps;
counts.kept = () => taps.length;

export const isKept = (point) => taps.some((t) => t.expects === point);

// press gives a cue, or says what the controller shows, with its instant.
export function press(word, tap, { expects, to } = {}) {
	taps.push({ key: randomKey(), serial: state.online ? state.talk?.serial ?? 0 : 0, press: word, tap, expects, to,
		at: Date.now(), visit: visit() });
	save();
	changed();
	deliver();
}

// deliver sends the taps that can be taken now.
export async function deliver() {
	again = sending;
	if (sending || !state.online || !holds()) return;
	dropStrangers();
	sending = true;
	try {
		do {
			again = false;
			while (taps.length && state.online && holds() && await first(taps[0]));
		} while (again); // something changed meanwhile
	} finally {
		sending = false;
		changed();
	}
}

function dropStrangers() {
	const before = taps.length;
	if (visit()) taps = taps.filter((t) => !t.visit || t.visit === visit());
	if (taps.length === before) return;
	state.error = 'taps-of-another-visit';
	save();
}

// first sends the first tap, and tells whether to go on with the next.
async function first(t) {
	if (!t.tried && !due(t)) return false;
	if (!t.tried && t.press === 'ready' && t.expects && t.expects !== state.talk.watch.point) return goThere(t);
	const serial = state.talk?.serial ?? 0, fresh = t.serial !== 0 && t.serial === serial;
	if (t.press !== 'ready' && t.press !== 'touch') t.serial = serial; // it is for what stands
	t.tried = true;
	save();
	const taken = await once('/press', said(t, fresh), fresh ? AT_ONCE : LATER);
	if (!taken) lost();
	if (taken?.later) setTimeout(deliver, SOON);
	if (!taken || taken.later) return false;
	if (taken.ok) {
		state.error = '';
		drop(t);
		return true;
	}
	if (taken.stale && !t.again) { // what it was for is over: once more, as one that was kept
		Object.assign(t, { key: randomKey(), serial: 0, tried: false, again: true });
		save();
		return true;
	}
	state.error = taken.refused || 'tap-not-taken';
	drop(t);
	return true;
}

// due tells whether what stands now takes such a tap; one that nothing will take is dropped.
function due(t) {
	const { watch: w, serial } = state.talk ?? {};
	if (!w) return false;
	if (t.serial === serial) return true;
	if (t.press === 'ready') return w.kind === 'ready';
	if (t.press === 'touch') return w.kind === 'roam';
	if (w.point === t.expects && w.kind === (t.press === 'indicated' ? 'operate' : 'restore')) return true;
	if (w.kind === 'operate' || w.kind === 'restore') return false;
	state.error = 'tap-not-taken';
	drop(t);
	return false;
}

// goThere asks for the detector that a tap was given for.
async function goThere(t) {
	if (t.jumped) {
		state.error = 'tap-not-taken';
		drop(t);
		return true;
	}
	const taken = await once('/press', { key: randomKey(), serial: state.talk.serial, press: 'jump', to: t.expects }, LATER);
	t.jumped = Boolean(taken?.ok); // what came too late is asked again of the next talk
	save();
	return false; // which delivers it
}

function said(t, fresh) {
	const next = taps.slice(taps.indexOf(t) + 1).find((later) => later.press === 'ready' || later.press === 'touch');
	const tap = fresh ? t.tap : { ...t.tap, held_nanosecond: Math.max(0, Date.now() - t.at) * 1e6 };
	const ofWatch = t.press !== 'ready' && t.press !== 'touch';
	return { key: t.key, serial: fresh || ofWatch ? t.serial : 0, press: t.press, tap, expects: t.expects || undefined,
		to: t.to || undefined, until: next?.tap };
}

function drop(t) {
	taps = taps.filter((other) => other !== t);
	save();
	changed();
}
