// Photographs: the phone's camera, a caption, and what they show.

import { say, number, changed, randomKey, detector } from './state.js';
import { el, button, labelled, sheet, closeSheet } from './dom.js';
import { post } from './link.js';
import { announce } from './sound.js';

const MOST = 8 << 20; // bytes that the program takes: photograph.MaxBytes
const SIDE = 4096, AGAIN = 0.7, SLOW = 90e3;

export const photoButton = (subject) => button(say('photo'), () => take(subject), { id: 'photo' });

function take(subject) {
	let file = null;
	const input = el('input', { type: 'file', accept: 'image/*', capture: 'environment', id: 'camera', class: 'unseen' });
	const caption = el('input', { type: 'text', id: 'caption', autocomplete: 'off', dir: 'auto', maxlength: 200 });
	const says = el('p', { class: 'help', id: 'photo-says', role: 'status' });
	const key = randomKey();
	const picture = el('canvas', { id: 'photo-picture', hidden: true, role: 'img', 'aria-label': say('photo-title') });
	const captioned = el('span', { id: 'photo-captioned' });
	caption.addEventListener('input', () => { captioned.textContent = caption.value.trim(); });
	const send = button(say('photo-send'), async () => {
		send.disabled = input.disabled = true;
		says.textContent = say('photo-sending');
		const small = await fitting(file);
		const q = new URLSearchParams({ subject, caption: caption.value.trim(), key });
		const taken = small ? await post('/photo?' + q, small, SLOW) : { refused: say('photo-too-large') };
		if (taken.ok) {
			closeSheet();
			announce(say('photo-kept'), true);
			changed();
			return;
		}
		says.textContent = taken.refused || say('not-taken');
		send.disabled = input.disabled = false;
	}, { class: 'main', id: 'photo-send', disabled: true });
	input.addEventListener('change', () => {
		file = input.files[0] ?? null;
		preview(file, picture);
		send.disabled = !file;
		says.textContent = file ? say('photo-size', file.name, number(file.size / 1e6, 1)) : '';
	});
	sheet(say('photo-title'), el('div', { class: 'camera' }, input, el('label', { for: 'camera' }, say('photo-camera'))), labelled(say('photo-caption'), caption),
		el('figure', {}, picture, el('figcaption', {}, captioned, el('span', { class: 'help' }, say('photo-of', shows(subject))))), says, send,
		button(say('close'), closeSheet, { id: 'close' }));
}

// shows names what a photograph is said to show.
function shows(subject) {
	const [kind, ...rest] = subject.split('/'), of = rest.join('/'), d = kind === 'detector' && detector(of);
	if (d) return d.point + ' ' + d.name;
	return of || say('photo-of-' + kind);
}

const SMALL = 240; // pixels of the longer side of the picture that is shown

// preview draws a small picture of what was taken, where the browser can read it.
async function preview(file, canvas) {
	canvas.hidden = true;
	const picture = file && await createImageBitmap(file).catch(() => null);
	if (!picture) return;
	const scale = Math.min(1, SMALL / Math.max(picture.width, picture.height));
	canvas.width = Math.max(1, Math.round(picture.width * scale));
	canvas.height = Math.max(1, Math.round(picture.height * scale));
	canvas.getContext('2d').drawImage(picture, 0, 0, canvas.width, canvas.height);
	picture.close();
	canvas.hidden = false;
}

// fitting is the file, or the same picture made smaller where the program would refuse it.
async function fitting(file) {
	if (file.size <= MOST) return file;
	const picture = await createImageBitmap(file).catch(() => null);
	if (!picture) return null;
	let side = Math.min(SIDE, Math.max(picture.width, picture.height));
	for (let i = 0; i < 6; i++, side *= AGAIN) {
		const scale = side / Math.max(picture.width, picture.height);
		const canvas = el('canvas', { width: Math.round(picture.width * scale), height: Math.round(picture.height * scale) });
		canvas.getContext('2d').drawImage(picture, 0, 0, canvas.width, canvas.height);
		const blob = await new Promise((r) => canvas.toBlob(r, 'image/jpeg', 0.88));
		if (blob && blob.size <= MOST) return blob;
	}
	return null;
}
