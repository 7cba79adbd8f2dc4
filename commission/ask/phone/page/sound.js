// What is heard and felt: tones, speech, vibration; and a screen that stays on.

import { state, chosen, say } from './state.js';

let audio = null, lock = null, spokenOnce = false;

export const audible = () => chosen.sound && audio?.state === 'running';

// unlock lets sound begin: browsers want a touch first.
export function unlock() {
	const Audio = window.AudioContext ?? window.webkitAudioContext;
	if (Audio) audio ??= new Audio();
	if (audio?.state !== 'running') audio?.resume?.().catch(() => {});
	if (spokenOnce || !window.speechSynthesis) return;
	spokenOnce = true;
	const nothing = new SpeechSynthesisUtterance(' ');
	nothing.volume = 0;
	speechSynthesis.speak(nothing);
}

// latency is how long after its time a tone is heard, in milliseconds, as the browser says.
export const latency = () => audible() ? Math.min(0.3, audio.outputLatency || audio.baseLatency || 0) * 1000 : 0;

// tone plays so many hertz, in so many milliseconds from now.
export function tone(hertz, lasts = 90, in_ = 0, form = 'sine', loud = 0.5) {
	if (!audible()) return;
	const from = audio.currentTime + in_ / 1000, to = from + lasts / 1000;
	const o = audio.createOscillator(), g = audio.createGain();
	o.type = form;
	o.frequency.value = hertz;
	g.gain.setValueAtTime(0, from);
	g.gain.linearRampToValueAtTime(loud, from + 0.008);
	g.gain.setValueAtTime(loud, to - 0.02);
	g.gain.linearRampToValueAtTime(0, to);
	o.connect(g).connect(audio.destination);
	o.start(from);
	o.stop(to);
	return o;
}

// Two figures that nobody takes for each other: two that rise, and four that fall, rough.
const figures = {
	good: () => { tone(660, 110); tone(990, 220, 120); },
	bad: () => [440, 370, 311, 220].forEach((f, i) => tone(f, 170, i * 190, 'square', 0.3)),
};
const shakes = { good: [70], bad: [220, 90, 220, 90, 450], now: [60] };

// result sounds and shakes as good or bad.
export function result(kind) {
	if (chosen.sound) figures[kind]?.();
	if (shakes[kind] && navigator.vibrate) navigator.vibrate(shakes[kind]);
}

// speak says a text in the visit's language; urgent ends what is being said.
export function speak(text, urgent) {
	const s = window.speechSynthesis;
	if (!text || !s || !chosen.sound || !chosen.voice) return;
	if (urgent) s.cancel();
	const u = new SpeechSynthesisUtterance(text);
	u.lang = state.texts.lang ?? 'en';
	if (urgent) u.rate = 1.1;
	s.speak(u);
}

export const hush = () => window.speechSynthesis?.cancel();

// announce tells a screen reader; its own voice reads it.
export function announce(text, gently) {
	const region = document.getElementById(gently ? 'polite' : 'live');
	region.textContent = '';
	setTimeout(() => { region.textContent = text; }, 30);
}

// stayAwake keeps the screen on where that can be had: it is lost whenever the page is hidden.
export async function stayAwake() {
	if (!navigator.wakeLock || document.visibilityState !== 'visible' || lock && !lock.released) return;
	lock = await navigator.wakeLock.request('screen').catch(() => null);
}

// staysAwake tells, as a code, whether the screen stays on.
export const staysAwake = () => say(lock && !lock.released ? 'awake-yes' : 'awake-no');
