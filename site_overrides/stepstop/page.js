/* On every page: the trail in the fragment (trail.py states it), and larger text.
   It stands in the head, so that nothing moves; what needs the page waits for it. */
(() => {
  'use strict';
  const IDLE = 30;
  const LINK = /^#?(on(?:=([\w-]{5})\.([0-9a-z]+)\.([0-9a-z]+)\.([0-9a-z]+)\.((?:[\w-]{5})*))?)?(~l)?$/;
  const root = document.documentElement, { v, begins } = root.dataset, is = root.classList;
  const read = (hash) => LINK.exec(hash) || [];
  const number = (text) => parseInt(text, 36);
  const all = (selector) => document.querySelectorAll(selector);
  /* Whether this visit begins here: somebody opened a link that was kept or sent. */
  const isFirst = () => {
    const entry = self.navigation && navigation.currentEntry;
    return entry && entry.index >= 0 ? entry.index === 0 : history.length < 2;
  };
  let trail, now;

  const begin = () => {
    const [, on, version, begun, last, done, words, large] = read(location.hash);
    const known = version === v;
    now = Math.floor(Date.now() / 60000);
    trail = { begun: now, last: 0, done: known ? number(done) : 0, words: '' };
    if (known && words) Object.assign(trail, { begun: number(begun), last: number(last), words });
    else if (begins) trail.words = begins;
    is.add('js');
    is.toggle('on', Boolean(on && (known || !version)));
    is.toggle('large', Boolean(large));
    is.toggle('idle', trail.words.length > 5 &&
      (now - trail.begun - trail.last > IDLE || isFirst()));
  };
  const large = () => is.contains('large') ? '~l' : '';
  const link = (words, done, last) => words || done
    ? 'on=' + [v, ...[trail.begun, last, done].map((n) => n.toString(36)), words].join('.') : '';
  const passed = () => Math.max(0, now - trail.begun);
  const aim = () => {
    /* The address of this page tells what was done, too: whoever comes back to it finds it. */
    const mine = trail.words ? link(trail.words, trail.done, trail.last) : read(location.hash)[1] || '';
    const want = mine + large();
    if (LINK.test(location.hash) && want !== location.hash.slice(1)) {
      history.replaceState(null, '', location.href.split('#')[0] + (want && '#' + want));
    }
    for (const a of all('a[href]:not([href^=tel])')) {
      const { a: word, d, s } = a.dataset, [to, old = ''] = a.getAttribute('href').split('#');
      let hash = LINK.test(old) ? old.replace('~l', '') : null;
      if (word !== undefined && trail.words) {
        hash = link(trail.words + word, trail.done | (d ? number(d) : 0), passed());
      } else if (s !== undefined) hash = link('', trail.done, 0);
      if (hash !== null) a.setAttribute('href', to + (hash + large() && '#' + hash + large()));
    }
  };
  const show = () => {
    /* What was done stays done on every page of this visit, whichever way somebody comes back. */
    for (const { url } of self.navigation ? navigation.entries() : []) {
      const [, , version, , , done] = read((url || '').replace(/^[^#]*/, ''));
      if (version === v) trail.done |= number(done);
    }
    const bits = [...all('a[data-d]')].map((a) => number(a.dataset.d));
    is.toggle('once', bits.some((each) => (trail.done & each) === each));
    aim();
  };
  begin();
  const anew = () => {
    begin();
    show();
  };
  addEventListener('pageshow', (event) => { if (event.persisted) anew(); });
  addEventListener('hashchange', () => { if (LINK.test(location.hash)) anew(); });
  addEventListener('DOMContentLoaded', () => {
    const [larger, go] = ['#larger', '#anew button'].map((each) => document.querySelector(each));
    const pressed = (yes) => larger.setAttribute('aria-pressed', yes);
    show();
    for (const a of all('a[data-d]')) a.addEventListener('click', () => {
      trail.done |= number(a.dataset.d);
      aim();
    });
    pressed(is.contains('large'));
    larger.onclick = () => {
      pressed(is.toggle('large'));
      aim();
    };
    if (go) go.onclick = () => {
      is.remove('idle');
      trail.last = passed();
      aim();
    };
  });
})();
