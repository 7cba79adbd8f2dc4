// Questions, each kind with the input that fits it. What is answered goes as the program
// reads it; a refusal is its sentence.

import { state, changed, say, many, holds } from './state.js';
import { el, button, shape, labelled, fill, heading } from './dom.js';
import { post } from './link.js';
import { drawing } from './drawing.js';
import { photoButton } from './photo.js';
import { handButton } from './more.js';

const LONG = 8; // options that are more than this stand closer

export const scene = () => ['question', state.talk.serial, holds(), state.busy].join();

// answer sends the answer to what stands.
export async function answer(text, more) {
	if (state.busy) return;
	state.busy = true;
	state.error = '';
	changed();
	const taken = await post('/answer', { serial: state.talk.serial, text, ...more });
	state.busy = false;
	if (!taken.ok) state.error = taken.refused || (taken.stale ? '' : 'not-taken');
	changed();
}

// typed keeps what was typed over a redrawing of the same question.
const typed = { serial: 0, values: {} };

function remember(input, name) {
	const of = state.talk.serial + state.talk.role; // what the technician typed is not shown to the customer
	if (typed.serial !== of) Object.assign(typed, { serial: of, values: {} });
	if (name in typed.values) input.value = typed.values[name];
	input.addEventListener('input', () => { typed.values[name] = input.value; });
	return input;
}

export function draw(main) {
	const q = state.talk.question, kind = q.takes.kind;
	const forms = { 'one-of': oneOf, 'yes-no': yesNo, quantity, level, conductor, date, names, items, signature: drawing };
	const form = holds() ? (forms[kind] ?? line)(q, answer) : null;
	fill(main,
		holds() && q.takes.customer && state.talk.role === 'technician' && el('div', { class: 'row' }, handButton()),
		q.about?.length && el('ul', { class: 'about', id: 'about' }, q.about.map((a) => el('li', {}, a))),
		heading(q.what, { id: 'what' }),
		q.help && el('p', { class: 'help' }, q.help),
		form,
		holds() && el('div', { class: 'keys beside-answer' },
			q.optional && button(say(q.back ? 'way-back' : 'leave-out'), () => answer(''), { id: 'leave-out' }),
			q.way_back && button(say('way-back'), () => answer(q.way_back), { id: 'way-back' }),
			q.redo && redoButton(q),
			q.subject && state.talk.role === 'technician' && photoButton(q.subject)));
	if (state.busy) main.querySelectorAll('button,input,select').forEach((e) => { e.disabled = true; });
}

// redoButton takes the last answer again; a small line says which.
function redoButton(q) {
	const b = button(say('redo'), () => answer('', { redo: true }), { id: 'redo' });
	b.append(el('span', { class: 'small' }, q.redo));
	return b;
}

// form sends what read returns when it is submitted; read may return "" for not yet.
function form(read, parts, ...after) {
	return el('form', { class: 'answer', id: 'answer', novalidate: true,
		onsubmit: (e) => {
			e.preventDefault();
			const text = read();
			if (text) answer(text);
			else {
				state.error = 'answer-needed';
				changed();
			}
		} }, ...parts, el('button', { type: 'submit', class: 'main', id: 'send' }, say('send')), ...after);
}

// instead is the word that may stand in the place of an answer, as a button.
const instead = (q) => q.takes.instead && button(state.texts['instead-' + q.takes.instead] ?? q.takes.means ?? q.takes.instead, () => answer(q.takes.instead),
	{ id: 'instead', class: 'wide' });

// shown offers what a simulated instrument shows.
const shown = (q, set) => q.shown && el('p', { class: 'shown' }, say('instrument-shows'), ' ', el('b', {}, q.shown), ' ',
	set && button(say('take-it'), () => set(q.shown), { id: 'take-shown', class: 'quiet' }));

function field(name, attributes) {
	return remember(el('input', { type: 'text', autocomplete: 'off', enterkeyhint: 'send', dir: 'auto', ...attributes }), name);
}

function line(q) {
	const input = field('text', { id: 'text' });
	return form(() => input.value.trim(), [labelled(say('your-answer'), input), shown(q, (v) => { input.value = v; })], instead(q),
		q.takes.options && el('div', { class: 'options' }, q.takes.options.map((o) =>
			button(o.label, () => answer(o.word), { 'data-word': o.word, class: 'option' }))));
}

// decimal writes the comma of a keypad as the point that the program reads.
const decimal = (text) => text.trim().replace(/^([-+]?\d*),(\d+)/, '$1.$2');

const number = (name, attributes) => field(name, { inputmode: 'decimal', dir: 'ltr', ...attributes });

function quantity(q) {
	const input = number('text', { id: 'text', class: 'figure' });
	if (!q.takes.unit) input.setAttribute('inputmode', 'text');
	if (q.takes.example) input.placeholder = q.takes.example;
	const other = q.takes.unit && button(say('other-unit'), () => {
		input.setAttribute('inputmode', 'text');
		input.focus();
	}, { class: 'quiet', id: 'other-unit' });
	return form(() => decimal(input.value), [labelled(say(q.takes.unit ? 'reading' : 'reading-with-unit'), input, q.takes.unit),
		shown(q, (v) => { input.value = v; })], el('div', { class: 'row' }, instead(q), other));
}

const select = (name, id, options) => remember(el('select', { id }, options.map(([value, text]) =>
	el('option', { value }, text))), name);

function level(q) {
	const [l, d, a] = ['level', 'distance', 'ambient'].map((n) => number(n, { id: n, class: 'figure' }));
	const unit = select('unit', 'distance-unit', [['m', 'm'], ['ft', 'ft']]);
	unit.setAttribute('aria-label', say('distance-unit'));
	const weighting = select('weighting', 'weighting', [['', 'dB'], ['(A)', 'dB(A)'], ['(C)', 'dB(C)']]);
	weighting.setAttribute('aria-label', say('weighting'));
	const of = select('class', 'class', [['', say('class-not-known')], ['1', '1'], ['2', '2']]);
	const read = () => {
		if (!l.value.trim() || !d.value.trim()) return '';
		const w = weighting.value;
		return `${decimal(l.value)} dB${w} at ${decimal(d.value)} ${unit.value}` +
			(a.value.trim() ? ` over ${decimal(a.value)} dB${w}` : '') + (of.value ? ` class ${of.value}` : '');
	};
	return form(read, [labelled(say('level'), l, weighting), labelled(say('distance'), d, unit),
		labelled(say('ambient'), a, 'dB'), labelled(say('meter-class'), of), shown(q)]);
}

function conductor(q) {
	const input = field('text', { id: 'text', class: 'figure', dir: 'ltr', inputmode: 'text' });
	const unit = select('unit', 'unit', [['mm2', 'mm²'], ['AWG', 'AWG']]);
	unit.setAttribute('aria-label', say('conductor-unit'));
	return form(() => input.value.trim() && decimal(input.value) + (/[a-z]/i.test(input.value) ? '' : ' ' + unit.value),
		[labelled(say('conductor'), input, unit), shown(q)], instead(q));
}

function date(q) {
	const input = field('text', { id: 'text', type: 'date', min: q.takes.from, max: q.takes.to });
	return form(() => input.value, [labelled(say('day'), input)], instead(q));
}

function oneOf(q) {
	// To leave all of it is the last, and quieter: it is what nobody means to touch by mistake.
	const leaves = (o) => o.word === 'leave', all = q.takes.options;
	const options = [...all.filter((o) => !leaves(o)), ...all.filter(leaves)];
	return el('div', { class: 'options' + (options.length > LONG ? ' close' : '') }, options.map((o) =>
		button(o.label, () => answer(o.word), { 'data-word': o.word, class: leaves(o) ? 'option leaves' : 'option' })));
}

function yesNo(q) {
	const no = button(say('no'), () => answer('no'), { 'data-word': 'no', class: 'option' });
	if (!q.danger) return el('div', { class: 'options two' }, no, button(say('yes'), () => answer('yes'),
		{ 'data-word': 'yes', class: 'option' }));
	const input = field('text', { id: 'text', autocapitalize: 'none', spellcheck: 'false', enterkeyhint: 'done' });
	const yes = el('button', { type: 'submit', class: 'danger', id: 'send', disabled: true }, say('yes'));
	const whole = () => { yes.disabled = input.value.trim() !== 'yes'; };
	input.addEventListener('input', whole);
	whole();
	return el('form', { class: 'answer guarded', id: 'answer', onsubmit: (e) => {
		e.preventDefault();
		if (!yes.disabled) answer('yes');
	} }, el('div', { class: 'options' }, no), labelled(say('type-the-word', 'yes'), input), yes);
}

function names(q) {
	if (!q.takes.several) return el('div', { class: 'options close' }, q.takes.names.map((n) =>
		button(n, () => answer(n), { 'data-word': n, class: 'option' })));
	const taken = new Set();
	const done = button(say('none-chosen'), () => answer([...taken].join(', ')), { class: 'main', id: 'send', disabled: true });
	const all = q.takes.names.map((n) => button(n, (e) => {
		if (!taken.delete(n)) taken.add(n);
		e.currentTarget.setAttribute('aria-pressed', String(taken.has(n)));
		done.disabled = taken.size === 0;
		done.textContent = taken.size ? many('take-these', taken.size) : say('none-chosen');
	}, { 'data-word': n, class: 'option', 'aria-pressed': 'false' }));
	return el('div', { class: 'answer' }, el('div', { class: 'options close' }, all), done);
}

const signs = { done: 'proved', 'not applicable': 'leftout', defect: 'failed', 'not tested': 'leftout' };

let readList = ''; // the list whose end was in view

// restButton answers all that is left of a list, once the end of the list was in view.
function restButton(q, text) {
	const b = button(text, () => answer('rest'), { class: 'main', id: 'rest', disabled: true });
	const look = el('span', { class: 'small' }, say('items-look'));
	const read = () => {
		readList = q.id;
		look.remove();
		b.disabled = state.busy;
	};
	b.append(look);
	if (readList === q.id) read();
	else requestAnimationFrame(() => {
		const end = document.getElementById('items-end'), foot = document.getElementById('foot');
		if (!end) return;
		const hides = getComputedStyle(foot).position === 'sticky' ? Math.min(foot.offsetHeight, innerHeight / 2) : 0;
		const seen = new IntersectionObserver((all) => {
			if (!all.some((e) => e.isIntersecting)) return;
			seen.disconnect();
			if (b.isConnected) read();
		}, { rootMargin: `0px 0px -${Math.round(hides)}px` });
		seen.observe(end);
	});
	return b;
}

// items are a list on one screen: a touch takes the exception, one button all that is left.
function items(q) {
	const all = q.takes.items, open = all.filter((i) => !i.result);
	const rest = open.length === all.length ? many('items-all', open.length) : many('items-rest', open.length);
	const brief = q.takes.brief && all.length > 12; // what has to be read stands above them
	const end = el('p', { id: 'items-end' });
	return el('div', { class: 'answer' }, el('p', { class: 'help' }, say('items-help')), brief ? end : null,
		el('ul', { class: brief ? 'items brief' : 'items', id: 'items' }, all.map((i) => el('li', {}, el('button', { type: 'button', class: 'item',
			'data-word': i.word, onclick: () => answer(i.word) },
		shape(i.result ? signs[i.result] ?? 'reported' : 'open'),
		el('span', { class: 'item-text' }, el('span', { class: 'label' }, i.label),
			el('span', { class: 'says' }, i.result ? i.says || i.result : say('item-open')),
			i.remark && el('span', { class: 'remark' }, i.remark)))))), brief ? null : end,
		el('div', { class: 'panel' }, open.length ? restButton(q, rest) : null),
		el('div', { class: 'keys' }, open.length ? button(say('items-each'), () => answer('each'), { id: 'each' }) : null,
			button(say(open.length ? 'items-leave' : 'items-done'), () => answer('leave'), { id: 'leave' })));
}

