// The waits: going to a detector and operating it, in order or not, with a network or
// without; and every other wait with its keys.

import { state, chosen, choose, changed, say, many, number, detector, detectors, holds } from './state.js';
import { el, button, shape, segments, fill, heading, tight } from './dom.js';
import { instant, tap, bounds, halfWidth, WIDE } from './clock.js';
import { press, kept, isKept } from './kept.js';
import { counting, begin, wait, count, stop, runs, changeWalk } from './count.js';
import { post } from './link.js';
import { photoButton } from './photo.js';

const SETTLED = 350; // milliseconds

// Keys that have a place of their own, and those whose instant counts.
const placed = new Set(['ready', 'touch', 'indicated', 'at-rest', 'roam', 'in-order', 'count', 'jump', 'quiet',
	'not-that', 'room']);
const timed = new Set(['ready', 'heard', 'stopped', 'begun', 'set', 'opened', 'alarm', 'sounds', 'flashes', 'unset']);

let drawnAt = 0;

const has = (watch, key) => watch?.keys?.find((k) => k.key === key);

// away tells that the walk goes on out of reach: the order is the board's.
// While roaming there is no order: NOW stays what it is.
export const away = () => !state.online && holds() && Boolean(state.board) && state.talk?.watch?.kind !== 'roam' &&
	(kept().length > 0 || ['ready', 'operate', 'restore'].includes(state.talk?.watch?.kind));

// whereAway is the detector whose turn it is, out of reach: the one that was chosen, or the
// next that is open, after the last.
export function whereAway() {
	if (state.aim) return detector(state.aim);
	const all = detectors(), w = state.talk?.watch;
	const last = kept().findLast((t) => t.expects)?.expects ?? (w?.kind === 'ready' ? '' : w?.point);
	if (!last && w?.point) return detector(w.point);
	const from = all.findIndex((d) => d.point === last) + 1;
	return [...all.slice(from), ...all.slice(0, from)].find((d) => d.standing === 'open' && !isKept(d.point) &&
		d.point !== last);
}

// scene names what is shown: where it changes, the screen is drawn anew.
export function scene() {
	const t = state.talk, w = t?.watch;
	if (away()) return ['away', whereAway()?.point, kept().length, chosen.way, Boolean(bounds()), counting.phase].join();
	return ['watch', t?.serial, Boolean(state.board), holds(), chosen.way, w?.kind === 'ready' || w?.kind === 'roam' ? Boolean(bounds()) : '',
		counting.phase, state.aim, state.busy, kept().length].join();
}

// keepCount starts and ends the count as the scene wants it. It begins by itself only where the
// detector before was proved: after anything else it waits for a touch.
export function keepCount() {
	const of = turn();
	const wants = chosen.way === 'count' && holds() && !state.refused && bounds() &&
		(away() ? whereAway() : counts(state.talk?.watch) && !kept().length);
	if (!wants) {
		if (counting.phase) stop();
		return;
	}
	if (counting.of === of || given === of) return;
	const point = pointNow();
	if (runs() && counting.point === point) counting.of = of; // it only went out of reach, or came back
	else if (counting.follows && !away()) begin(of, cue, tick);
	else wait(of, tick);
	counting.point = point;
	counting.follows = false;
}

// counts tells whether the count is for such a wait: a detector of the walk-test, nothing else.
const counts = (w) => w?.kind === 'ready' && Boolean(w.counts);

let given = ''; // the turn that had its cue

const turn = () => away() ? 'away ' + (whereAway()?.point ?? '') : 'watch ' + state.talk?.serial;

const pointNow = () => away() ? whereAway()?.point : state.talk?.watch?.point;

// cue gives the cue of what stands.
function cue(t) {
	const point = pointNow(), kind = state.talk?.watch?.kind;
	if (!away() && kind !== 'ready' && kind !== 'roam') return; // it came between two of them
	given = turn();
	state.aim = '';
	state.result = null;
	press(kind === 'roam' && !away() ? 'touch' : 'ready', t, { expects: point });
}

export function draw(main) {
	drawnAt = performance.now();
	if (away()) return drawAway(main);
	const w = state.talk.watch;
	const kinds = { ready: drawReady, operate: drawOperate, restore: drawOperate, roam: drawRoam };
	(kinds[w.kind] ?? drawOther)(main, w);
	update();
}

// update changes what a standing scene shows of time.
export function update() {
	const shown = document.getElementById('status');
	if (shown && shown.textContent !== tight(state.status)) shown.textContent = tight(state.status);
	const agree = document.getElementById('agree');
	if (agree) agree.textContent = agreement();
	drawReports();
	tick();
}

const REPORTS = 5, NAMED = 4; // lines, detectors

// reports are what was heard while roaming, the newest first, one a detector: what is struck is none.
function reports() {
	const seen = new Set();
	return state.notices.filter((n) => {
		if (!n.point || !n.tone && !n.means || seen.has(n.point)) return false;
		seen.add(n.point);
		return n.means !== 'struck';
	}).slice(0, REPORTS);
}

// drawReports draws what was heard, and names what is left, where that has changed.
function drawReports() {
	const list = document.getElementById('reports'), left = document.getElementById('left');
	if (!list) return;
	const all = reports(), key = JSON.stringify(all);
	if (list.dataset.drawn !== key) fill(list, ...all.map((n) => el('li', { class: n.tone || n.means },
		shape(n.tone || 'open'), el('span', {}, tight(n.text)))));
	list.dataset.drawn = key;
	const open = detectors().filter((d) => d.standing === 'open');
	const names = open.slice(0, NAMED).map((d) => d.point + ' ' + d.name).join(', ');
	const says = !open.length ? '' : open.length > NAMED ? say('roam-left-more', names, open.length - NAMED) : say('roam-left', names);
	if (left.textContent !== says) left.textContent = says;
}

function tick() {
	const big = document.getElementById('count'), small = document.getElementById('count-says');
	if (!big) return;
	const { phase, left } = counting;
	big.textContent = phase === 'count' ? (left > 0 ? String(left) : say('now')) : phase === 'walk' ? String(left) :
		say('count-waits');
	small.textContent = say(phase === 'count' ? 'count-on' : phase === 'walk' ? 'count-walk' : 'count-go');
	big.parentElement.classList.toggle('on', phase === 'count');
}

function agreement() {
	const half = halfWidth();
	if (half == null) return say(state.online ? 'clock-comparing' : 'clock-unknown');
	return say(half > WIDE ? 'clock-wide' : 'clock-agrees', number(half, half < 10 ? 1 : 0));
}

// place says where to go.
function place(point, title) {
	const d = detector(point);
	if (!d) return [point && el('p', { class: 'where' }, el('span', { class: 'point' }, point)),
		title && heading(title)];
	return [
		el('div', { class: 'where' }, el('span', { class: 'point' }, d.point), el('span', { class: 'zone-name' }, d.zone.name)),
		heading(d.name),
		el('p', { class: 'location' }, [d.location, d.zone.area].filter(Boolean).join(', ')),
		title && el('p', { class: 'do' }, title)];
}

function ways(watch) {
	const all = [['tap', say('way-tap')]];
	if (!watch || watch.kind === 'roam' || counts(watch)) all.push(['count', say('way-count')]);
	if (has(watch, 'roam') || watch?.kind === 'roam') all.push(['roam', say('way-roam')]);
	const is = watch?.kind === 'roam' ? 'roam' : all.length > 1 ? chosen.way : 'tap';
	return segments(say('ways'), all, is, (way) => {
		if (way === is) return;
		stop();
		counting.follows = way === 'count' && watch?.kind === 'ready';
		if (way !== 'roam') choose('way', way);
		if (way === 'roam') pressKey('roam');
		else if (is === 'roam') pressKey('in-order');
		changed();
	}, state.busy && !away()); // what is chosen while a key is on its way would not be sent
}

// drawReady is a detector whose turn it is.
function drawReady(main, w) {
	const d = detector(w.point);
	const rests = w.half === 'restore';
	fill(main, ...place(w.point, d && !rests ? '' : w.title), holds() && ways(w), lines(w), agreeLine(), others(w),
		panel(w, rests ? d?.restore : d?.do));
}

const status = () => el('p', { id: 'status', class: 'status' }, tight(state.status));

const agreeLine = () => el('p', { class: 'aside', id: 'agree' }, agreement());

const lines = (w) => w.lines?.length ? el('ul', { class: 'lines' }, w.lines.map((l) => el('li', {}, l))) : null;

// panel is what the thumb reaches: NOW, or the count.
function panel(w, does) {
	if (!holds()) return null;
	if (kept().length && !away()) return el('div', { class: 'panel' }, el('p', { class: 'sent' }, many('sending', kept().length)));
	const parts = [];
	if (!bounds()) parts.push(now(does, true), untimed());
	else if (chosen.way === 'count' && (!w || counts(w))) parts.push(...countPanel(does));
	else parts.push(now(does));
	return el('div', { class: 'panel' }, ...parts, indications(w));
}

// indications are what a person saw at the controller, with the instant.
function indications(w) {
	const keys = ['indicated', 'at-rest'].map((k) => has(w, k)).filter(Boolean);
	if (!keys.length) return null;
	return el('div', { class: 'indications' }, keys.map((k) => atTouch(el('button',
		{ type: 'button', class: 'large', id: 'key-' + k.key, disabled: state.busy }, k.label),
	(t) => press(k.key, t, { expects: w.point }))));
}

// now is the button of the cue: a touch counts when it begins.
function now(does, off) {
	const b = el('button', { type: 'button', id: 'now', class: 'now', disabled: off },
		el('span', { class: 'big' }, say('now')), el('span', { class: 'small strong' }, off ? '' : does ?? ''),
		el('span', { class: 'small' }, off ? agreement() : say('now-do')));
	return off ? b : atTouch(b, cue);
}

// atTouch calls f with the tap of a touch, when it begins; or of a key or a screen reader,
// which touch nothing.
function atTouch(b, f) {
	let touched = -Infinity;
	b.addEventListener('pointerdown', (e) => {
		if (!e.isPrimary || e.button > 0 || performance.now() - drawnAt < SETTLED) return;
		touched = performance.now();
		b.classList.add('pressed');
		f(tap(instant(e), 'touch'));
	});
	b.addEventListener('click', (e) => {
		if (performance.now() - touched < 1500 || e.detail > 0) return;
		f(tap(instant(e), 'touch'));
	});
	return b;
}

// untimed is for who insists though the clock is not known.
const untimed = () => button(say('untimed'), (e) => cue({ ...tap(instant(e), 'touch'), unknown: true }),
	{ id: 'untimed', class: 'quiet' });

function countPanel(does) {
	const { phase } = counting;
	const waits = !runs();
	const big = el('button', { type: 'button', id: 'now', class: 'now counts', 'aria-live': 'off',
		onclick: () => waits ? begin(turn(), cue, tick) : phase === 'walk' ? count(cue) : wait() },
	el('span', { class: 'big', id: 'count' }, '…'), el('span', { class: 'small', id: 'count-says' }, '…'),
	el('span', { class: 'small strong' }, does ?? ''));
	return [big, el('div', { class: 'row' },
		button('−', () => shorter(-1), { 'aria-label': say('walk-less'), id: 'walk-less' }),
		el('span', { class: 'seconds', role: 'status' }, say('walk-seconds', chosen.walk)),
		button('+', () => shorter(1), { 'aria-label': say('walk-more'), id: 'walk-more' }),
		button(waits ? say('count-resume') : say('count-wait'), () => waits ? begin(turn(), cue, tick) : wait(),
			{ id: 'wait', class: 'wide' }))];
}

function shorter(by) {
	choose('walk', changeWalk(by));
	document.querySelector('.seconds').textContent = say('walk-seconds', chosen.walk);
	if (counting.phase === 'walk') begin(counting.of, cue, tick);
}

// drawOperate is a detector that was operated, or is to be brought to rest: a signal ends it.
function drawOperate(main, w) {
	const d = detector(w.point);
	fill(main, ...place(w.point, ''), el('p', { class: 'do act' }, (d && (w.kind === 'restore' ? d.restore : d.do)) || w.title), lines(w),
		el('div', { class: 'waiting' }, shape('listening'), el('div', {}, el('p', { class: 'aside' }, say(
			w.kind === 'restore' ? 'waits-rest' : 'waits-active')), status())),
		others(w), holds() && el('div', { class: 'panel' }, indications(w)));
}

// drawRoam is the walk in one's own order.
function drawRoam(main, w) {
	const aim = detector(state.aim);
	fill(main, heading(w.title), holds() && ways(w), lines(w),
		aim && el('p', { class: 'aim' }, el('span', { class: 'point' }, aim.point), ' ', aim.name,
			button(say('aim-none'), () => { state.aim = ''; changed(); }, { class: 'quiet' })),
		status(),
		el('p', { class: 'aside', id: 'left' }), el('ul', { class: 'reports', id: 'reports' }),
		agreeLine(), others(w),
		holds() && el('div', { class: 'panel' }, bounds() ? roamNow(aim) : now('', true), el('div', { class: 'row' },
			['not-that', 'room'].map((k) => has(w, k)).filter(Boolean).map((k) => button(say('key-' + k.key), () => pressKey(k.key),
				{ id: 'key-' + k.key, class: 'wide', disabled: state.busy }))), indications(w)));
}

function roamNow(aim) {
	const b = el('button', { type: 'button', id: 'now', class: 'now low' }, el('span', { class: 'big' }, say('now')),
		aim && el('span', { class: 'small strong' }, aim.do), el('span', { class: 'small' }, say(aim ? 'now-do' : 'roam-now')));
	return atTouch(b, (t) => {
		const to = state.aim;
		state.aim = '';
		press('touch', t, { to });
	});
}

// drawOther is any other wait.
function drawOther(main, w) {
	const ready = has(w, 'ready');
	fill(main, el('div', { class: w.urgent ? 'urgent' : null }, heading(w.title)), lines(w), status(), others(w),
		holds() && el('div', { class: 'panel' }, ready && atTouch(el('button', { type: 'button', id: 'now', class: 'now low' },
			el('span', { class: 'big' }, ready.label)), (t) => send('ready', t)), indications(w)));
}

// others are the keys that have no place of their own.
function others(w) {
	if (!holds()) return null;
	const rest = w.keys.filter((k) => !placed.has(k.key) || k.key === 'roam' && w.kind !== 'ready' && w.kind !== 'roam');
	return el('div', { class: 'keys' }, rest.map((k) => key(k)), w.subject && photoButton(w.subject));
}

// key is a button of a key. Where its instant counts, that is when the touch began; it is
// pressed when the touch ends, so that a finger may scroll over it.
function key(k) {
	let began = null;
	const b = button(k.label, (e) => {
		send(k.key, timed.has(k.key) ? tap(began ?? instant(e), 'touch') : undefined);
	}, { id: 'key-' + k.key, class: timed.has(k.key) ? 'timed' : null, disabled: state.busy });
	b.addEventListener('pointerdown', (e) => { began = instant(e); });
	return b;
}

const pressKey = (word) => send(word);

// send presses a key of what stands.
export async function send(word, t, to) {
	if (state.busy || !state.talk?.serial) return;
	stop();
	counting.follows = false;
	state.busy = true;
	state.error = '';
	changed();
	const taken = await post('/press', { serial: state.talk.serial, press: word, tap: t, to });
	state.busy = false;
	if (!taken.ok) state.error = taken.refused || (taken.stale ? '' : 'not-taken');
	changed();
}

// drawAway is a detector out of reach.
function drawAway(main) {
	const d = whereAway(), last = kept().at(-1), before = detector(last?.expects);
	fill(main, before && el('p', { class: 'then' }, shape('kept'), el('span', {}, say('away-then', before.point, before.restore ?? ''))),
		...(d ? place(d.point, '') : [heading(say('away-none'))]), ways(null), agreeLine(),
		d && el('div', { class: 'keys' }, button(say('away-other'), () => { state.tab = 'board'; changed(); }, { id: 'away-other' })),
		d && panel(null, d.do));
	tick();
}
