// The stream of events, and what is posted.

import { state, changed, randomKey } from './state.js';

const SILENCE = 12e3, PATIENCE = 8e3, TRIES = 20;

let source = null, last = 0, heard = 0, reopening = 0, failures = 0;
let take = () => {}, whenBack = () => {};

// begin opens the stream; event(name, value) is called for each event, back when the network
// is there again.
export function begin(event, back) {
	take = event;
	whenBack = back;
	open();
	setInterval(watch, 1000);
	// A hidden page may lose its connection without a word: the stream is opened anew.
	const anew = () => document.visibilityState === 'visible' && open();
	document.addEventListener('visibilitychange', anew);
	addEventListener('pageshow', (e) => e.persisted && anew());
	addEventListener('online', anew);
	addEventListener('offline', lost);
}

const names = ['talk', 'status', 'notice', 'board', 'zone', 'taken', 'gone', 'beat'];

export function open() {
	clearTimeout(reopening);
	source?.close();
	const mine = source = new EventSource('/events?after=' + last);
	heard = Date.now();
	mine.onerror = () => {
		if (mine !== source) return;
		mine.close();
		failed();
	};
	for (const name of names) {
		mine.addEventListener(name, (e) => {
			if (mine !== source) return;
			heard = Date.now();
			failures = 0;
			found();
			if (name !== 'beat') last = Number(e.lastEventId) || last;
			take(name, e.data ? JSON.parse(e.data) : null);
		});
	}
}

// over ends the stream; it is tried again now and then, for the visit may go on.
export function over() {
	source?.close();
	source = null;
	last = 0;
	clearTimeout(reopening);
	reopening = setTimeout(open, 5000);
}

function watch() {
	if (document.visibilityState !== 'visible' || !source || Date.now() - heard < SILENCE) return;
	lost();
	open();
}

function failed() {
	failures++;
	if (!state.refused) lost();
	clearTimeout(reopening);
	reopening = setTimeout(open, state.refused ? 10e3 : Math.min(3000, 300 * failures));
	if (failures % 3 === 2) whetherPaired();
}

// whetherPaired asks why there is no stream: a stream does not tell.
async function whetherPaired() {
	const status = await fetch('/clock', { method: 'POST', body: '{}', headers: json }).then((r) => r.status, () => 0);
	if (status === 401 || status === 403) {
		state.refused = 'unpaired';
		changed();
	}
}

export function lost() {
	if (!state.online && state.lostAt) return;
	state.online = false;
	state.lostAt = Date.now();
	changed();
}

function found() {
	if (state.online) return;
	state.online = true;
	state.lostAt = 0;
	state.refused = '';
	changed();
	whenBack();
}

const json = { 'Content-Type': 'application/json' };

// once posts once, and resolves to what came back with its status, or to null where nothing did.
export async function once(path, body, patience = PATIENCE) {
	const stop = new AbortController(), timer = setTimeout(() => stop.abort(), patience);
	try {
		const blob = body instanceof Blob;
		const r = await fetch(path, { method: 'POST', body: blob ? body : JSON.stringify(body),
			headers: blob ? { 'Content-Type': body.type || 'application/octet-stream' } : json, signal: stop.signal });
		const taken = { ...await r.json().catch(() => ({})), status: r.status };
		return taken.status < 500 || taken.later ? taken : null;
	} catch {
		return null;
	} finally {
		clearTimeout(timer);
	}
}

// post sends it until something comes back, the same key each time, and tells what came of
// it: {ok}, or {refused}, or {stale}. After TRIES it is {lost}.
export async function post(path, body, patience) {
	body = body instanceof Blob ? body : { key: randomKey(), ...body };
	for (let i = 0; i < TRIES; i++) {
		const taken = await once(path, body, patience);
		if (taken && !taken.later) return taken;
		if (!taken) lost();
		await new Promise((r) => setTimeout(r, Math.min(4000, 250 * 2 ** i)));
	}
	return { lost: true };
}

// What kept.js knows, which knows this file.
export const counts = { kept: () => 0 };

// clock is one exchange of the clocks, or null.
export async function clock(ns) {
	const came = await once('/clock', { device_nanosecond: ns, kept: counts.kept() }, 3000);
	return came?.sent_nanosecond == null ? null : came;
}
