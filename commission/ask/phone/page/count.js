// The count: time to walk, then three, two, one, now. The instant of "now" is the cue.

import { state, chosen, changed, say } from './state.js';
import { tone, speak, hush, audible, latency, result } from './sound.js';
import { tap } from './clock.js';

const BEAT = 1000, FROM = 3;

// What goes on: phase is walk, wait or count; left is seconds, or the number that was said.
// Follows: the next detector may be counted to without a touch, for the one before was proved,
// or the count was chosen just now.
export const counting = { phase: '', left: 0, of: '', point: '', follows: false };

let timer = 0, tones = [], told = () => {};

// begin starts the time to walk to a detector; now(tap) is called at the cue. drawn is told
// what to show.
export function begin(of, now, drawn) {
	stop();
	told = drawn;
	Object.assign(counting, { phase: 'walk', left: chosen.walk, of });
	changed();
	const until = performance.now() + chosen.walk * 1000;
	const step = () => {
		counting.left = Math.ceil((until - performance.now()) / 1000);
		if (counting.left <= 0) return count(now);
		told();
		timer = setTimeout(step, (until - performance.now()) % 1000 || 1000);
	};
	step();
}

// wait holds it until begin or count is called.
export function wait(of = counting.of, drawn = told) {
	stop();
	told = drawn;
	Object.assign(counting, { phase: 'wait', of });
	changed();
}

// count says three, two, one, now.
export function count(now) {
	const of = counting.of;
	stop();
	Object.assign(counting, { phase: 'count', left: FROM, of });
	changed();
	const at = performance.now() + FROM * BEAT;
	tones = [];
	for (let i = 0; i < FROM; i++) tones.push(tone(880, 90, i * BEAT));
	tones.push(tone(1320, 420, FROM * BEAT));
	const step = (n) => {
		counting.left = n;
		told();
		if (n > 0) {
			speak(say('count-' + n), true);
			timer = setTimeout(step, at - (n - 1) * BEAT - performance.now(), n - 1);
			return;
		}
		speak(say('count-now'), true);
		result('now');
		// What is heard begins when it was to begin; what is only seen, when it is shown. A cue
		// that is still to come is no cue yet.
		const instant = audible() ? at + latency() : performance.now();
		timer = setTimeout(() => {
			stop('given');
			now(tap(instant, 'count'));
		}, Math.max(0, instant - performance.now() + 1));
	};
	step(FROM);
}

export function stop(phase = '') {
	clearTimeout(timer);
	if (phase !== 'given') tones.forEach((o) => { try { o?.stop(); } catch { /* it has ended */ } });
	tones = [];
	if (counting.phase === 'count' && phase === '') hush();
	Object.assign(counting, { phase, left: 0, of: phase ? counting.of : '' });
}

export const runs = () => counting.phase === 'walk' || counting.phase === 'count';

export const changeWalk = (by) => Math.min(60, Math.max(3, chosen.walk + by));
