// Elements. A text is a text node, whatever it holds: nothing here reads markup.

// el makes an element. Attributes that begin with "on" are listeners, "class" and the rest
// are what they are in HTML; false, null and undefined leave one out. Whatever holds a text
// finds its own direction.
export function el(tag, attributes, ...children) {
	const e = document.createElement(tag);
	for (const [name, value] of Object.entries(attributes ?? {})) {
		if (value === false || value == null) continue;
		if (name.startsWith('on')) e.addEventListener(name.slice(2), value);
		else e.setAttribute(name, value === true ? '' : value);
	}
	for (const child of children.flat()) {
		if (child == null || child === false || child === '') continue;
		if (typeof child === 'object') {
			e.append(child);
			continue;
		}
		if (!e.hasAttribute('dir')) e.setAttribute('dir', 'auto');
		e.append(document.createTextNode(String(child)));
	}
	return e;
}

// shape is a sign that says nothing to a screen reader: words stand beside it.
export const shape = (kind) => el('span', { class: 'shape ' + kind, 'aria-hidden': 'true' });

// heading is what a screen is about. A long one is set smaller.
export const heading = (text, attributes) => el('h1', { tabindex: '-1', class: String(text).length > 70 ? 'long' : null,
	...attributes }, text);

// tight keeps a number and its unit on one line.
export const tight = (text) => text.replace(/(\d) (?=\p{L}{1,3}\b)/gu, '$1\u00a0');

export const button = (text, onclick, attributes) => el('button', { type: 'button', onclick, ...attributes }, text);

export function fill(parent, ...children) {
	parent.replaceChildren(...children.flat().filter((c) => c));
}

// segments are buttons of which one is chosen; while off none can be.
export function segments(label, options, is, choose, off) {
	return el('div', { class: 'segments', role: 'group', 'aria-label': label }, options.map(([word, text]) =>
		button(text, () => choose(word), { 'aria-pressed': String(word === is), 'data-word': word, disabled: off })));
}

let number = 0;
// labelled is an input under its label.
export function labelled(text, input, after) {
	input.id ||= 'field' + ++number;
	return el('div', { class: 'field' }, el('label', { for: input.id }, text),
		el('div', { class: 'beside' }, input, after && el('span', { class: 'unit' }, after)));
}

// sheet shows a dialog; what it holds closes it by closeSheet.
export function sheet(title, ...children) {
	const d = document.getElementById('sheet');
	fill(d, el('h2', { id: 'sheet-title', tabindex: '-1' }, title), ...children);
	if (!d.open) d.showModal();
	d.querySelector('h2').focus();
	return d;
}

export function closeSheet() {
	const d = document.getElementById('sheet');
	if (d.open) d.close();
	d.replaceChildren();
}
