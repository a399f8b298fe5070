/* A code typed in becomes the account of its answers and a link to the page where they end. That link
   looks as if it were kept for long: the page asks about danger before it goes on. */
(() => {
  'use strict';
  const LONG = 60;
  const at = (id) => document.getElementById(id);
  const [ask, digits, found, account, on] = ['ask', 'digits', 'found', 'account', 'on-from'].map(at);
  const word = (name) => at('words').content.querySelector('[data-w=' + name + ']').textContent;
  const load = loaderOf(ask.dataset.base);
  const made = (tag, ...content) => {
    const element = document.createElement(tag);
    element.append(...content);
    return element;
  };
  const part = (title, lines) =>
    [made('h2', title), made('ul', ...lines.map((line) => made('li', line)))];
  const show = (data, trail) => {
    const ways = waysOf(data), followed = ways.follow(trail), told = briefOf(data, followed);
    const begun = Math.floor(Date.now() / 60000) - LONG;
    found.textContent = word('right');
    account.replaceChildren(
      ...part(word('fails'), [told.fails]),
      ...part(word('danger'), [told.danger || word('not-asked')]),
      ...told.parts.flatMap(([title, lines]) => part(title, lines)));
    on.firstChild.href = ask.dataset.base + ways.address(followed.page) +
      ways.link({ ...trail, begun, last: 0 });
    on.hidden = false;
  };
  const read = async () => {
    for (const part of [found, account]) part.replaceChildren();
    on.hidden = true;
    const { trail: data } = await load('trail.js').catch(() => ({}));
    if (!data) {
      found.textContent = word('lost');
      return;
    }
    try {
      show(data, waysOf(data).readCode(digits.value));
    } catch (error) {
      if (!(error instanceof RangeError)) throw error;
      found.textContent = word('wrong') + ' ' + word('other');
    }
  };
  at('read').onclick = read;
  digits.addEventListener('keydown', (event) => { if (event.key === 'Enter') read(); });
  ask.hidden = false;
})();
