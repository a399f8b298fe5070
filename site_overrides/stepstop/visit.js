/* The brief of a walk that came here with a trail: made from trail.js and the table of its complaint,
   shown, and handed on only by whoever taps: in the language of the company, where that is another one
   and its data can be had. What is typed stays in the page. */
(() => {
  'use strict';
  const SHORT = 299;
  const at = (id) => document.getElementById(id);
  const section = at('brief');
  const { base, theirs } = section.dataset;
  const edition = document.querySelector('.edition').textContent.replace(/\s+/g, ' ').trim();
  const load = loaderOf(base);
  /* What an account says in a language, beside what its data say. */
  const voiceOf = (id, title, soon, left) => {
    const words = at(id);
    const word = (name) => words.content.querySelector('[data-w=' + name + ']').textContent;
    return { word, title, soon, left, ...accountOf(word, words.lang) };
  };
  const own = voiceOf('words', section.dataset.title, section.dataset.soon, section.dataset.left);
  const company = theirs ? voiceOf('their-words', section.dataset.theirTitle,
    section.dataset.theirSoon, section.dataset.theirLeft) : own;
  const element = (tag, text) => Object.assign(document.createElement(tag), { textContent: text });
  const list = (lines) => {
    const ul = document.createElement('ul');
    ul.append(...lines.map((line) => {
      const item = document.createElement('li');
      item.append(/^\d\. /.test(line) ? element('b', line) : line);
      return item;
    }));
    return ul;
  };

  /* ---- the account ---- */

  /* By the labels that show; those of another language stand among its words. */
  const fields = (voice) => [...section.querySelectorAll('input, textarea')]
    .filter((each) => each.value.trim())
    .map((each) => (voice === own ? each.labels[0].textContent : voice.word(each.id)) + ': ' + each.value.trim());
  const dangerOf = ({ voice: { word, clock }, told, trail }) =>
    (told.danger || word('not-asked')) + (trail.begun ? ' · ' + clock(trail.begun) : '');
  const parts = (state) => {
    const { voice: { word, title, soon, left, mostLikely, likelyLines }, told, code, found } = state;
    return [
      ['', [
        word('fails') + ' ' + told.fails,
        word('danger') + ' ' + dangerOf(state),
        ...left ? [word('left') + ' ' + left] : [],
        ...found && found.causes.length ? [word('most') + ' ' + mostLikely(found)] : [],
        word('stop') + ' ' + title + (soon ? ' · ' + soon : ''),
        word('code') + ' ' + code,
      ]],
      [word('who-where'), fields(state.voice)],
      ...told.parts,
      [word('tried'), told.tried],
      [word('causes'), likelyLines(found)],
      [word('missing'), told.missing.length ? [told.missing.join(', ')] : []],
      [word('pages'), [edition]],
    ].filter(([, lines]) => lines.length);
  };
  const whole = (state) => state.voice.asText(parts(state));
  /* Under 300 characters: what a text message carries in two. */
  const short = (state) => {
    const { word, title, soon, left, inOrder } = state.voice;
    const text = inOrder([word('code') + ' ' + state.code, state.told.fails, title, soon, left]
      .filter(Boolean).join('. '));
    return text.length > SHORT ? text.slice(0, SHORT - 1) + '…' : text;
  };
  const handOn = (state) => {
    const status = (name) => { at('handed').textContent = own.word(name); };
    const on = (id, works, act) => {
      at(id).hidden = !works;
      at(id).onclick = act;
    };
    on('copy', navigator.clipboard, () => navigator.clipboard.writeText(whole(state))
      .then(() => status('copied'), () => status('not-copied')));
    on('share', navigator.share, () => navigator.share({ title: state.voice.title, text: whole(state) })
      .then(() => status('shared'), () => {}));
    on('print', true, () => print());
    const body = encodeURIComponent(short(state));
    at('sms').href = 'sms:' + (section.dataset.text || '') + '?body=' + body;
    at('mail').href = 'mailto:?subject=' + encodeURIComponent(state.told.fails) + '&body=' + body;
  };

  /* ---- the page ---- */

  const show = (state) => {
    const { voice: { word, mostLikely }, told, code, found } = state;
    at('fails').textContent = told.fails;
    at('danger').textContent = dangerOf(state);
    at('code').textContent = code;
    /* Answers that no known fault gives name no cause: the page's own list stays. */
    const ranks = found && found.causes.length;
    const most = at('most');
    if (most && ranks) most.textContent = mostLikely(found);
    const causes = document.querySelector('.causes ul');
    if (ranks && causes) {
      causes.replaceChildren(...found.causes.map(({ plain, how }) => {
        const item = document.createElement('li');
        item.append(element('b', how[0].toUpperCase() + how.slice(1) + ': '), plain);
        return item;
      }), element('li', word('else')));
    }
    const account = at('account');
    if (account) {
      account.replaceChildren(...parts(state).slice(1).filter(([heading]) => heading !== word('who-where'))
        .flatMap(([heading, lines]) => [element('h3', heading), list(lines)]));
      const before = document.querySelector('.ranked');
      if (ranks && before) before.hidden = true;
      at('by-hand').hidden = true;
    }
    handOn(state);
    section.hidden = false;
  };
  const made = async (folder, voice) => {
    const { trail: data } = await load(folder + 'trail.js');
    const ways = waysOf(data);
    const trail = ways.readLink(location.hash);
    const followed = ways.follow(trail);
    const state = {
      voice, trail, told: briefOf(data, followed), code: ways.inGroups(ways.code(trail)), found: null,
    };
    const ranked = () => load(folder + data.roots[trail.root][0] + '/likely.js').then(() => {
      state.found = voice.ranked(followed.ways);
      return state;
    });
    return { state, ranked };
  };
  const run = async () => {
    const { state, ranked } = await made('', own);
    show(state);
    await ranked().then(show, () => {});
    if (company === own) return;
    const other = await made(theirs, company);
    handOn(other.state);
    await other.ranked().then(handOn);
  };
  /* Without data, trail or table the page stays as it was: a form to fill by hand. */
  if (/^#on=/.test(location.hash)) run().catch(() => {});
})();
