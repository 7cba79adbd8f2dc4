// A signature, drawn on glass: lines of points of a sheet of 1000 by 400.

import { state, say, changed } from './state.js';
import { el, button } from './dom.js';

const WIDTH = 1000, HEIGHT = 400, APART = 3, MOST = 20000, LEAST = 8;

// What was drawn stays over a redrawing of the same question.
const drawn = { serial: 0, lines: [] };

export function drawing(q, answer) {
	if (drawn.serial !== state.talk.serial) Object.assign(drawn, { serial: state.talk.serial, lines: [] });
	const canvas = el('canvas', { id: 'signature', width: WIDTH, height: HEIGHT, role: 'img', 'aria-label': say('sign-here') });
	const points = () => drawn.lines.reduce((n, l) => n + l.length / 2, 0);
	const done = button(say('sign'), () => {
		if (points() < LEAST) {
			state.error = 'sign-more';
			changed();
			return;
		}
		answer('', { strokes: { width: WIDTH, height: HEIGHT, lines: drawn.lines } });
	}, { class: 'main', id: 'send' });
	const clear = button(say('sign-again'), () => {
		drawn.lines = [];
		show();
	}, { id: 'clear' });

	const show = () => {
		const c = canvas.getContext('2d');
		c.clearRect(0, 0, WIDTH, HEIGHT);
		Object.assign(c, { lineWidth: 6, lineCap: 'round', lineJoin: 'round', strokeStyle: '#10202c' });
		for (const l of drawn.lines) {
			c.beginPath();
			c.moveTo(l[0], l[1]);
			for (let i = 2; i < l.length; i += 2) c.lineTo(l[i], l[i + 1]);
			if (l.length === 2) c.lineTo(l[0] + 0.1, l[1]);
			c.stroke();
		}
		clear.disabled = drawn.lines.length === 0;
		done.disabled = drawn.lines.length === 0;
	};

	let line = null;
	const add = (e) => {
		const box = canvas.getBoundingClientRect();
		const within = (v, most) => Math.round(Math.min(most, Math.max(0, v)));
		const x = within((e.clientX - box.left) / box.width * WIDTH, WIDTH);
		const y = within((e.clientY - box.top) / box.height * HEIGHT, HEIGHT);
		const n = line.length;
		if (n && Math.hypot(x - line[n - 2], y - line[n - 1]) < APART || points() >= MOST) return;
		line.push(x, y);
	};
	canvas.addEventListener('pointerdown', (e) => {
		if (!e.isPrimary) return;
		e.preventDefault();
		canvas.setPointerCapture(e.pointerId);
		drawn.lines.push(line = []);
		add(e);
		show();
	});
	canvas.addEventListener('pointermove', (e) => {
		if (!line || !e.isPrimary) return;
		for (const each of e.getCoalescedEvents?.() ?? [e]) add(each);
		show();
	});
	const end = () => { line = null; };
	canvas.addEventListener('pointerup', end);
	canvas.addEventListener('pointercancel', end);
	show();
	return el('div', { class: 'answer' }, el('div', { class: 'glass' }, canvas, el('p', {}, say('sign-here'))), done,
		el('div', { class: 'row' }, clear));
}
