// The board: every zone and detector, in words and in shapes; and what was told.

import { state, changed, say, holds } from './state.js';
import { el, shape, segments, fill, heading, tight } from './dom.js';
import { send, away } from './walk.js';
import { isKept } from './kept.js';

const STANDINGS = { proved: 'proved', reported: 'reported', failed: 'failed', 'left-out': 'leftout', open: 'open' };
const STATES = { active: 'active', restored: 'rest', tamper: 'trouble', trouble: 'trouble', 'not understood': 'trouble' };

export const scene = () => ['board', state.lists, state.roomy, mayGo(), state.board?.current].join();

// mayGo tells what a touch of a detector does: it goes there, or nothing.
function mayGo() {
	const w = state.talk?.watch;
	if (!holds()) return '';
	if (away()) return 'away';
	if (w?.kind === 'roam') return 'roam';
	return w?.keys?.some((k) => k.key === 'jump') ? 'jump' : '';
}

function go(point) {
	const how = mayGo();
	if (how === 'jump') send('jump', undefined, point);
	else state.aim = point;
	state.tab = 'task';
	changed();
}

const shows = (d) => state.roomy === 'all' || (state.roomy === 'open' ? d.standing === 'open' : d.standing === 'failed');

export function draw(main) {
	const b = state.board;
	if (!b) return fill(main, el('p', {}, say('board-none')));
	const how = mayGo();
	fill(main, heading(say('board-title')),
		Boolean(b.all) && segments(say('board-which'), [['all', say('board-all')], ['open', say('board-open')], ['failed', say('board-failed')]],
			state.roomy, (word) => { state.roomy = word; changed(); }),
		how && el('p', { class: 'help' }, say('board-go-' + how)),
		el('div', { id: 'zones' }, (b.zones ?? []).map((z) => zone(z, how))));
	if (!main.querySelector('.zone')) main.append(el('p', { class: 'help' }, say('board-nothing')));
}

function zone(z, how) {
	const all = (z.detectors ?? []).filter(shows);
	if (!all.length && (state.roomy !== 'all' || z.detectors?.length)) return null;
	return el('section', { class: 'zone', id: 'zone-' + z.number },
		el('h2', {}, z.name),
		el('p', { class: 'zone-says' }, shape(STATES[z.state] ?? 'unknown'),
			el('span', {}, [z.says, z.area, z.kind].filter(Boolean).join(' · '))),
		el('ul', {}, all.map((d) => el('li', {}, row(d, how)))));
}

function row(d, how) {
	const current = d.point === state.board.current;
	const parts = [shape(STANDINGS[d.standing] ?? 'open'), el('span', { class: 'item-text' },
		el('span', { class: 'label' }, el('span', { class: 'point' }, d.point), el('bdi', {}, d.name)),
		d.location && el('span', { class: 'says' }, d.location),
		el('span', { class: 'says standing ' + (STANDINGS[d.standing] ?? '') }, isKept(d.point) ? say('board-kept') : d.says),
		current && el('span', { class: 'says here' }, say('board-here')))];
	const attributes = { class: 'item detector' + (current ? ' current' : ''), 'data-point': d.point };
	if (!how) return el('div', attributes, ...parts);
	return el('button', { type: 'button', ...attributes, onclick: () => go(d.point) }, ...parts);
}

// changeZone draws one zone anew where the board is shown.
export function changeZone(z) {
	const old = document.getElementById('zone-' + z.number), drawn = old && zone(z, mayGo());
	if (drawn) old.replaceWith(drawn);
	else if (old) old.remove();
}

export const toldScene = () => ['told', state.notices.length, state.notices[0]?.at].join();

const signs = { good: 'proved', bad: 'failed' };

export function drawTold(main) {
	fill(main, heading(say('told-title')),
		state.notices.length ? el('ol', { class: 'told', id: 'told' }, state.notices.map((n) => el('li', { class: 'weight-' + n.weight },
			shape(signs[n.tone] ?? (n.weight === 'alarm' || n.weight === 'caution' ? 'trouble' : 'said')),
			el('div', { class: 'item-text' }, el('span', { class: 'label' }, tight(n.text)),
				Boolean(n.at) && el('span', { class: 'says' }, new Date(n.at).toLocaleTimeString(state.texts.lang)))))) :
			el('p', { class: 'help' }, say('told-none')));
}

