// Photographs: the phone's camera, a caption, and what they show.

import { say, changed, randomKey } from './state.js';
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
		send.disabled = !file;
		says.textContent = file ? say('photo-size', file.name, (file.size / 1e6).toFixed(1)) : '';
	});
	sheet(say('photo-title'), el('div', { class: 'camera' }, input, el('label', { for: 'camera' }, say('photo-camera'))), labelled(say('photo-caption'), caption), says, send,
		button(say('close'), closeSheet, { id: 'close' }));
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
