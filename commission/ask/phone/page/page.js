// The page: it pairs, takes events in, and draws what stands. Each tab has a scene, a name
// of what it shows; it is drawn anew only where that changes, so that nothing that is
// being typed or touched goes away.

import { texts, paired } from './first.js';
import { state, chosen, drawnBy, changed, say, many } from './state.js';
import { el, button, shape, fill, heading, tight, closeSheet } from './dom.js';
import { begin, over, post, clock } from './link.js';
import { keepKnown, compare, exchanged } from './clock.js';
import { kept, deliver } from './kept.js';
import { unlock, result, speak, announce, stayAwake, audible } from './sound.js';
import { counting } from './count.js';
import * as walk from './walk.js';
import * as questions from './questions.js';
import * as board from './board.js';
import * as more from './more.js';

const NOTICES = 100;
const $ = (id) => document.getElementById(id);

const tabs = {
	task: { scene: taskScene, draw: drawTask },
	board: { scene: board.scene, draw: board.draw },
	told: { scene: board.toldScene, draw: board.drawTold },
	more: { scene: more.scene, draw: more.draw },
};

function taskScene() {
	const t = state.talk;
	if (state.refused) return state.refused;
	if (walk.away() || t?.watch) return walk.scene();
	if (t?.question) return questions.scene();
	return ['nothing', Boolean(t), state.online].join();
}

function drawTask(main) {
	const t = state.talk;
	if (state.refused) return fill(main, heading(say(state.refused + '-title')),
		el('p', {}, state.refused === 'gone' && state.last || say(state.refused + '-help')),
		state.refused === 'gone' ? null : button(say('try-again'), () => location.reload(), { id: 'try-again' }));
	if (walk.away() || t?.watch) return walk.draw(main);
	if (t?.question) return questions.draw(main);
	fill(main, heading(say(t ? 'nothing-title' : 'joining-title')), el('p', { class: 'help' },
		say(t ? 'nothing-help' : 'joining-help')));
}

const LINGERS = 3000, BETWEEN = 600; // milliseconds between two talks that nobody has to see

let drawn = '', drawnTab = '', drawnSerial = 0, since = 0;

function draw() {
	const t = state.talk;
	document.documentElement.lang = state.texts.lang ?? 'en';
	const locked = t?.role === 'customer';
	if (locked || state.refused) state.tab = 'task';
	document.body.classList.toggle('locked', locked);
	const stood = topOfScene();
	drawSounding();
	drawHead();
	drawTabs(locked);
	walk.keepCount();
	const tab = tabs[state.tab], scene = [state.tab, locked, tab.scene()].join();
	drawBeside();
	if (stood != null && Math.abs(topOfScene() - stood) > 2) shifted();
	// Between one talk and the next, what stood last goes on standing for a moment.
	const between = state.tab === 'task' && t && !t.question && !t.watch && !state.refused && !walk.away() && drawn;
	if (!between) since = 0;
	else since ||= Date.now();
	document.body.classList.toggle('between', Boolean(between));
	if (between && Date.now() - since < BETWEEN) {
		setTimeout(changed, BETWEEN);
		return;
	}
	if (scene === drawn) {
		if (state.tab === 'task' && t?.watch) walk.update();
		return;
	}
	// What is drawn anew stays where it was scrolled to; another task begins at its top.
	const same = drawnTab === state.tab && (state.tab !== 'task' || drawnSerial === t?.serial);
	const focused = document.activeElement?.id, top = same ? scrollY : 0;
	drawn = scene;
	tab.draw($('scene'));
	fill($('panel'), $('scene').querySelector('.panel'));
	// What is scrolled to by keys does not end under the panel.
	document.documentElement.style.scrollPaddingBottom = Math.min($('foot').offsetHeight, innerHeight / 2) + 'px';
	if (drawnTab !== state.tab || state.tab === 'task') scrollTo(0, top);
	// The second touch of two that were one too many would be for what nobody has read yet.
	if (state.tab === 'task' && drawnSerial && t?.serial && !same) shifted(Boolean(t.watch));
	drawnTab = state.tab;
	drawnSerial = t?.serial;
	if (focused && document.activeElement === document.body) $(focused)?.focus({ preventScroll: true });
}

const topOfScene = () => $('scene')?.getBoundingClientRect().top;

const SETTLES = 350; // milliseconds

let settles = 0, down = false, began = false, sparing = false;

// shifted holds for a moment that what stands has moved on the screen, or is another question or wait. In a new wait the
// keys are spared whose instant counts: who hears or sees something touches at once.
function shifted(wait) {
	clearTimeout(settles);
	if (down) began = true;
	sparing = Boolean(wait) && (sparing || !document.body.classList.contains('shifted'));
	document.body.classList.add('shifted');
	settles = setTimeout(() => document.body.classList.remove('shifted'), SETTLES);
}

// A touch that began just after the screen had moved was meant for what stood there before; so was one during
// which it moved, however long it lasted. Keys and screen readers press what they name, wherever it is.
function guard(e) {
	const moved = document.body.classList.contains('shifted');
	if (e.type === 'pointerdown') [down, began] = [true, moved];
	else if ((began || moved) && e.detail > 0 && e.target.closest?.(guarded) && !(sparing && e.target.closest('.timed'))) {
		e.preventDefault();
		e.stopPropagation();
	}
}

const guarded = '#scene button, #panel button';
const lifted = () => { down = false; };

function differs(e, key) {
	if (e.dataset.drawn === key) return false;
	e.dataset.drawn = key;
	return true;
}

function drawHead() {
	const b = state.board, t = state.talk, head = $('head');
	const done = b ? b.all - b.open : 0;
	const key = JSON.stringify([b?.site, b?.visit, b?.stage, b?.progress, b?.connected, b?.gone, done, b?.all, state.online, t?.role,
		t?.holds, t?.simulated, t?.holder, kept().length, state.refused]);
	if (!differs(head, key)) return;
	const bar = b?.all ? el('progress', { max: b.all, value: done, 'aria-label': b.progress }) : null;
	fill(head,
		el('div', { class: 'title' }, el('b', {}, b?.site ?? 'loopwitness'), el('span', { class: 'net ' + (state.online ? 'on' : 'off') },
			shape(state.online ? 'rest' : 'trouble'), el('span', { class: state.online ? 'unseen' : null }, say(state.online ? 'net-on' : 'net-off')))),
		b && el('p', { class: 'stage' }, [b.visit, b.stage, b.progress].filter(Boolean).join(' · ')), bar,
		el('div', { id: 'strips' }, ...strips()));
}

// strips say in words what hinders.
function strips() {
	const t = state.talk, b = state.board, n = kept().length, all = [];
	const strip = (kind, text, ...more_) => all.push(el('div', { class: 'strip ' + kind }, shape(kind === 'bad' ? 'trouble' :
		kind), el('span', {}, text), ...more_));
	if (state.refused) return all;
	if (!state.online && t) strip('warn', n ? many('offline-kept', n) : say('offline-strip'));
	else if (n) strip('warn', many('delivering', n));
	if (b?.gone) for (const one of b.gone) strip('bad', one);
	else if (b && !b.connected) strip('bad', say('controller-gone'));
	if (t?.simulated) strip('info', say('simulated'));
	if (t?.role === 'onlooker') strip('info', say('onlooker'));
	else if (t?.role === 'customer') strip('info', say('customer'), button(say('hand-back'), more.back, { id: 'hand-back' }));
	else if (t && !t.holds) strip('warn', t.holder, button(say('hold'), more.hold, { id: 'hold' }));
	return all;
}

function drawSounding() {
	const on = state.talk?.sounding ?? [], bar = $('sounding');
	if (!on.length) silencing = loudSince = 0;
	else loudSince ||= Date.now();
	if (!differs(bar, [on.join('\n'), state.talk?.role, silencing, silencing && state.online].join())) return;
	fill(bar, on.length && el('p', {}, shape('loud'), el('span', {}, say('sounding', on.join(', ')))),
		on.length && state.talk.role === 'technician' && button(say(silencing ? 'silencing' : 'silence'), silence,
			{ id: 'silence', disabled: Boolean(silencing) }),
		Boolean(silencing) && !state.online && el('p', { id: 'silence-away' }, say('silence-away')));
}

// When something began to sound, and which touch asks for silence; 0 for none.
let loudSince = 0, silencing = 0;

// silence switches off what sounds: at once, whatever else is on its way.
async function silence() {
	const mine = silencing = Date.now();
	changed();
	const taken = await post('/press', { serial: state.talk.serial, press: 'quiet' });
	if (!taken.ok) state.error = taken.refused || 'not-taken';
	if (silencing === mine && !taken.ok) silencing = 0;
	changed();
}

// Who only looks on has no task.
const TABS = ['task', 'board', 'told', 'more'], onlooking = () => state.talk?.role === 'onlooker';

function drawTabs(locked) {
	const nav = $('tabs');
	if (!differs(nav, [state.tab, locked, state.refused, state.texts.lang, onlooking()].join())) return;
	nav.setAttribute('aria-label', say('tabs'));
	fill(nav, locked || state.refused ? [] : TABS.filter((word) => word !== 'task' || !onlooking()).map((word) => el('button', { type: 'button', id: 'tab-' + word,
		'aria-current': word === state.tab ? 'page' : null, onclick: () => { state.tab = word; changed(); } },
	el('span', {}, say('tab-' + word)))));
}

// drawBeside is what stands above the task: what has to be heeded, the last result, the last
// refusal.
function drawBeside() {
	const main = $('main');
	if (!$('scene')) fill(main, el('div', { id: 'beside' }), el('div', { id: 'scene' }));
	const beside = $('beside'), task = state.tab === 'task' && !state.refused, last = state.notices[0];
	// The technician's cards are not for the customer. While something sounds, the answer matters more
	// than a caution that was read before.
	const handed = state.talk?.role === 'customer';
	const pressing = state.pressing.filter((n) => !handed && (n.weight === 'alarm' || !loudSince || n.at >= loudSince));
	const kind = state.talk?.watch?.kind, roams = kind === 'roam' && !walk.away();
	// A walk without a touch has none that lets sound begin.
	const walks = state.talk?.holds && (roams || kind && chosen.way === 'count');
	// The last thing told stands until what is asked has changed.
	const fresh = last && !last.past && !last.tone && last.at > state.began - LINGERS && last.weight !== 'heading' &&
		!state.pressing.some((n) => n.text === last.text) && !handed;
	const key = JSON.stringify([task, pressing, handed, state.result, state.error, last?.text, last?.at, roams, fresh, walks,
		chosen.sound && !audible()]);
	if (!differs(beside, key)) return;
	const r = state.result;
	fill(beside,
		task && pressing.map((n) => el('div', { class: 'card ' + n.weight, role: n.weight === 'alarm' ? 'alert' : null },
			shape('trouble'), el('p', {}, n.text), button(say('understood'), () => {
				state.pressing = state.pressing.filter((other) => other !== n);
				changed();
			}, { class: 'understood' }))),
		state.error && el('div', { class: 'card refused', role: 'alert', id: 'error' }, shape('failed'), el('p', {},
			state.texts[state.error] ?? state.error)),
		task && r && !roams && !handed && el('div', { class: 'card result ' + r.tone, id: 'result' }, shape(r.tone === 'good' ? 'proved' : 'failed'),
			el('div', {}, r.large && el('p', { class: 'figure' }, tight(r.large)), el('p', { class: 'says' }, tight(r.text)))),
		task && fresh && el('div', { class: 'last', id: 'last' }, toldTogether(last).map((n) => el('p', {}, tight(n.text)))),
		task && walks && chosen.sound && !audible() && el('button', { type: 'button', class: 'quiet', id: 'unlock',
			onclick: () => { unlock(); setTimeout(changed, 200); } }, say('touch-for-sound')));
}

const TOGETHER = 300, SHOWN = 6; // milliseconds, lines

// toldTogether are what was told with the last, as far as there is room for it.
const toldTogether = (last) => state.notices.filter((n) => n.weight === last.weight && !n.tone && !n.past &&
	last.at - n.at < TOGETHER).slice(0, SHOWN).reverse();

// takeNotice takes what was told. What was told before this page was there is not sounded.
function takeNotice(n) {
	n.at = n.past ? 0 : Date.now();
	state.notices.unshift(n);
	state.notices.length = Math.min(state.notices.length, NOTICES);
	if (n.past) return;
	const urgent = n.weight === 'caution' || n.weight === 'alarm';
	if (urgent) state.pressing = [{ ...n, left: LASTS }, ...state.pressing.filter((other) => other.text !== n.text)].slice(0, 4);
	if (n.tone || n.means) counting.follows = n.tone === 'good';
	if (n.means === 'struck' && n.point === state.result?.point) state.result = null;
	if (n.tone) {
		state.result = { ...n, left: STANDS };
		result(n.tone);
	} else if (n.weight === 'alarm') result('bad');
	speak(n.speaks, n.tone === 'bad' || n.weight === 'alarm');
	announce(n.text, !urgent && !n.tone);
}

const STANDS = 2; // talks: a result is over when the next but one stands
const LASTS = 3; // talks: what a caution is about is over then, unless something sounds

let spoken = 0;

function takeTalk(t) {
	const before = state.talk;
	state.talk = t;
	state.refused = '';
	if (before?.serial === t.serial && before.role === t.role && before.holds === t.holds) return;
	state.status = '';
	state.error = '';
	if (!t.sounding?.length) state.pressing = state.pressing.filter((n) => n.weight === 'alarm' || --n.left > 0);
	if (t.serial) state.began = Date.now();
	if (before?.role !== t.role) closeSheet();
	if (t.role === 'customer') Object.assign(state, { notices: [], pressing: [], result: null }); // the technician's
	const w = t.watch, about = t.question?.what ?? w?.title;
	if (t.role === 'onlooker' && state.tab === 'task') state.tab = 'board';
	if (about && before?.serial !== t.serial) announce(about, true);
	if (w?.kind !== 'roam') state.aim = '';
	if (t.question || w && !w.counts && !w.point) counting.follows = false;
	// Outside the walk a result says nothing any more.
	const walks = !t.serial || w?.point || w?.kind === 'roam' || (t.question ?? w)?.subject?.startsWith('detector/');
	const next = t.serial && before?.serial !== t.serial;
	if (w?.kind === 'operate' || !walks || next && state.result && --state.result.left <= 0) state.result = null;
	if (before && before.serial !== t.serial && t.holds && (t.question || w?.urgent)) state.tab = 'task';
	if (w?.speaks && t.holds && spoken !== t.serial) speak(w.speaks);
	spoken = t.serial;
}

function take(name, value) {
	switch (name) {
	case 'talk':
		takeTalk(value);
		queueMicrotask(deliver);
		break;
	case 'status':
		if (value.serial === state.talk?.serial) state.status = value.text;
		break;
	case 'notice':
		takeNotice(value);
		break;
	case 'board':
		state.board = value;
		state.lists++;
		break;
	case 'zone':
		takeZone(value);
		break;
	case 'taken':
		announce(say('taken'));
		break;
	case 'beat': // the program knows by the answer that this phone is there
		exchanged();
		return;
	case 'gone':
		state.refused = 'gone';
		state.last = value?.text ?? '';
		over();
	}
	changed();
}

function takeZone(z) {
	if (!state.board) return;
	const { of, ...zone } = z, zones = state.board.zones ?? [];
	const current = state.board.current;
	state.board = { ...state.board, ...of, zones: zones.map((each) => each.number === zone.number ? zone : each) };
	if (state.tab !== 'board') return;
	if (current !== state.board.current) state.lists++;
	else board.changeZone(zone);
}

async function start() {
	state.texts = await texts;
	drawnBy(draw);
	changed();
	if (!await paired) state.refused = 'unpaired';
	changed();
	if (!state.refused) {
		begin(take, () => { compare(); deliver(); });
		keepKnown(clock, () => state.online);
		setInterval(() => state.tab === 'task' && walk.update(), 2000);
	}
	for (const end of ['pointerup', 'pointercancel']) addEventListener(end, lifted, true);
	for (const touch of ['pointerdown', 'click']) {
		addEventListener(touch, guard, true);
		addEventListener(touch, touched);
	}
	document.addEventListener('visibilitychange', stayAwake);
	stayAwake();
	document.body.dataset.ready = 'yes';
}

function touched() {
	unlock();
	stayAwake();
	setTimeout(changed, 300);
}

$('sheet').addEventListener('close', () => $('sheet').replaceChildren());
start();

