/* The brief of a walk that came here with a trail: made from trail.js and the table of its complaint,
   shown, and handed on only by whoever taps. What is typed stays in the page. */
(() => {
  'use strict';
  const SHORT = 299;
  const at = (id) => document.getElementById(id);
  const section = at('brief');
  const { base, title, soon, left } = section.dataset;
  const edition = document.querySelector('.edition').textContent.replace(/\s+/g, ' ').trim();
  const word = (name) => at('words').content.querySelector('[data-w=' + name + ']').textContent;
  const load = loaderOf(base);
  const { ranked, mostLikely, likelyLines, clock, asText, inOrder } = accountOf(word);
  const made = (tag, text) => Object.assign(document.createElement(tag), { textContent: text });
  const list = (lines) => {
    const ul = document.createElement('ul');
    ul.append(...lines.map((line) => {
      const item = document.createElement('li');
      item.append(/^\d\. /.test(line) ? made('b', line) : line);
      return item;
    }));
    return ul;
  };

  /* ---- the account ---- */

  const fields = () => [...section.querySelectorAll('input, textarea')]
    .filter((each) => each.value.trim())
    .map((each) => each.labels[0].textContent + ': ' + each.value.trim());
  const parts = (state) => {
    const { told, trail, code, found } = state;
    return [
      ['', [
        word('fails') + ' ' + told.fails,
        word('danger') + ' ' + (told.danger || word('not-asked')) +
          (trail.begun ? ' · ' + clock(trail.begun) : ''),
        ...left ? [word('left') + ' ' + left] : [],
        ...found && found.causes.length ? [word('most') + ' ' + mostLikely(found)] : [],
        word('stop') + ' ' + title + (soon ? ' · ' + soon : ''),
        word('code') + ' ' + code,
      ]],
      [word('who-where'), fields()],
      ...told.parts,
      [word('tried'), told.tried],
      [word('causes'), likelyLines(found)],
      [word('missing'), told.missing.length ? [told.missing.join(', ')] : []],
      [word('pages'), [edition]],
    ].filter(([, lines]) => lines.length);
  };
  const whole = (state) => asText(parts(state));
  /* Under 300 characters: what a text message carries in two. */
  const short = (state) => {
    const text = inOrder([word('code') + ' ' + state.code, state.told.fails, title, soon, left]
      .filter(Boolean).join('. '));
    return text.length > SHORT ? text.slice(0, SHORT - 1) + '…' : text;
  };
  const handOn = (state) => {
    const status = (name) => { at('handed').textContent = word(name); };
    const on = (id, works, act) => {
      at(id).hidden = !works;
      at(id).onclick = act;
    };
    on('copy', navigator.clipboard, () => navigator.clipboard.writeText(whole(state))
      .then(() => status('copied'), () => status('not-copied')));
    on('share', navigator.share, () => navigator.share({ title, text: whole(state) })
      .then(() => status('shared'), () => {}));
    on('print', true, () => print());
    const body = encodeURIComponent(short(state));
    at('sms').href = 'sms:' + (section.dataset.text || '') + '?body=' + body;
    at('mail').href = 'mailto:?subject=' + encodeURIComponent(state.told.fails) + '&body=' + body;
  };

  /* ---- the page ---- */

  const show = (state) => {
    const { told, code, found, trail } = state;
    at('fails').textContent = told.fails;
    at('danger').textContent = (told.danger || word('not-asked')) +
      (trail.begun ? ' · ' + clock(trail.begun) : '');
    at('code').textContent = code;
    /* Answers that no known fault gives name no cause: the page's own list stays. */
    const ranks = found && found.causes.length;
    const most = at('most');
    if (most && ranks) most.textContent = mostLikely(found);
    const causes = document.querySelector('.causes ul');
    if (ranks && causes) {
      causes.replaceChildren(...found.causes.map(({ plain, how }) => {
        const item = document.createElement('li');
        item.append(made('b', how[0].toUpperCase() + how.slice(1) + ': '), plain);
        return item;
      }), made('li', word('else')));
    }
    const account = at('account');
    if (account) {
      account.replaceChildren(...parts(state).slice(1).filter(([heading]) => heading !== word('who-where'))
        .flatMap(([heading, lines]) => [made('h3', heading), list(lines)]));
      const before = document.querySelector('.ranked');
      if (ranks && before) before.hidden = true;
      at('by-hand').hidden = true;
    }
    handOn(state);
    section.hidden = false;
  };
  const run = async () => {
    const { trail: data } = await load('trail.js');
    const ways = waysOf(data);
    const trail = ways.readLink(location.hash);
    const followed = ways.follow(trail);
    const state = {
      trail, told: briefOf(data, followed), code: ways.inGroups(ways.code(trail)), found: null,
    };
    show(state);
    await load(data.roots[trail.root][0] + '/likely.js');
    state.found = ranked(followed.ways);
    show(state);
  };
  /* Without data, trail or table the page stays as it was: a form to fill by hand. */
  if (/^#on=/.test(location.hash)) run().catch(() => {});
})();
