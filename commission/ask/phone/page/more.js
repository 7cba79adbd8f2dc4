// What a technician chooses, who holds the questions, and the customer's turn.

import { state, chosen, choose, changed, say, many, number, holds, randomKey } from './state.js';
import { el, button, segments, labelled, fill, heading, sheet, closeSheet } from './dom.js';
import { post } from './link.js';
import { halfWidth } from './clock.js';
import { kept } from './kept.js';
import { result, speak, staysAwake, unlock } from './sound.js';
import { photoButton } from './photo.js';

export const scene = () => ['more', chosen.sound, chosen.voice, chosen.way, holds(), state.online, kept().length,
	state.talk?.holder, state.talk?.serial].join();

const onOff = () => [['on', say('on')], ['off', say('off')]];

export function draw(main) {
	const half = halfWidth(), about = state.talk?.watch?.subject || state.talk?.question?.subject;
	fill(main, heading(say('more-title')),
		el('section', {}, el('h2', {}, say('more-sound')),
			el('p', { class: 'label' }, say('more-tones')),
			segments(say('more-tones'), onOff(), chosen.sound ? 'on' : 'off', (w) => choose('sound', w === 'on')),
			el('p', { class: 'label' }, say('more-voice')),
			segments(say('more-voice'), onOff(), chosen.voice ? 'on' : 'off', (w) => choose('voice', w === 'on')),
			el('p', { class: 'label' }, say('try')),
			el('div', { class: 'row' },
				button(say('try-good'), () => tryOut('good'), { id: 'try-good', class: 'wide' }),
				button(say('try-bad'), () => tryOut('bad'), { id: 'try-bad', class: 'wide' }))),
		el('section', {}, el('h2', {}, say('more-questions')), el('p', { id: 'holder' }, state.talk?.holder ?? ''),
			state.talk?.role === 'technician' && (holds() ?
				button(say('give-back'), giveBack, { id: 'give-back', class: 'wide' }) :
				button(say('hold'), hold, { id: 'hold-more', class: 'wide' })),
			about && state.talk?.role === 'technician' && photoButton(about)),
		holds() && el('section', {}, el('h2', {}, say('more-visit')), button(say('pause'), pause, { id: 'pause', class: 'wide' })),
		el('section', {}, el('h2', {}, say('more-state')), el('ul', { class: 'lines' },
			el('li', {}, say(state.online ? 'online' : 'offline')),
			el('li', {}, kept().length ? many('kept', kept().length) : say('kept-none')),
			el('li', {}, half == null ? say('clock-unknown') : say('clock-agrees', number(half, half < 10 ? 1 : 0))),
			el('li', {}, staysAwake()),
			!isSecureContext && el('li', {}, say('not-secure')))));
}

function tryOut(kind) {
	unlock();
	setTimeout(() => result(kind), 60);
	speak(say('try-' + kind), true);
}

// hold asks for the questions; where somebody else holds them, whether that is meant.
export async function hold() {
	const taken = await post('/hold', {});
	if (taken.ok) return changed();
	sheet(say('hold'), el('p', {}, taken.refused || state.talk?.holder || ''),
		button(say('hold-sure'), async () => said(await post('/hold', { sure: true })), { class: 'main', id: 'sure' }),
		button(say('hold-not'), closeSheet, { id: 'close' }));
}

function giveBack() {
	sheet(say('give-back'), el('p', {}, say('give-back-sure')),
		button(say('give-back'), async () => said(await post('/hold', { give: true })), { class: 'main', id: 'sure' }),
		button(say('hold-not'), closeSheet, { id: 'close' }));
}

function pause() {
	sheet(say('pause'), el('p', {}, say('pause-sure')),
		button(say('pause'), async () => said(await post('/press', { serial: state.talk.serial, press: 'interrupted' })),
			{ class: 'main', id: 'sure' }),
		button(say('hold-not'), closeSheet, { id: 'close' }));
}

function said(taken) {
	if (taken.ok) closeSheet();
	else state.error = taken.refused || 'not-taken';
	changed();
}

export const handButton = () => button(say('hand'), hand, { id: 'hand' });

const digits = (id) => el('input', { type: 'text', inputmode: 'numeric', pattern: '[0-9]*', maxlength: 4, id, class: 'figure',
	autocomplete: 'off', dir: 'ltr' });

// hand gives the phone to the customer, behind four digits.
function hand() {
	const code = digits('code');
	const go = button(say('hand-now'), async () => {
		const taken = await post('/hand', { key: randomKey(), code: code.value });
		if (taken.ok) return said(taken);
		says.textContent = taken.refused || say('not-taken');
	}, { class: 'main', id: 'hand-now', disabled: true });
	const says = el('p', { class: 'help', role: 'status' });
	code.addEventListener('input', () => { go.disabled = !/^\d{4}$/.test(code.value); });
	sheet(say('hand'), el('p', {}, say('hand-help')), labelled(say('hand-code'), code), says, go,
		button(say('close'), closeSheet, { id: 'close' }));
}

// back takes the phone from the customer again.
export function back() {
	const code = digits('code'), says = el('p', { class: 'help', role: 'status' });
	sheet(say('hand-back'), labelled(say('hand-code'), code), says,
		button(say('hand-back'), async (e) => {
			const b = e.currentTarget;
			b.disabled = true;
			const taken = await post('/hand', { key: randomKey(), code: code.value, back: true });
			if (taken.ok) return said(taken);
			b.disabled = false;
			code.value = '';
			says.textContent = taken.refused || say('not-taken');
		}, { class: 'main', id: 'hand-back-now' }),
		button(say('close'), closeSheet, { id: 'close' }));
}
