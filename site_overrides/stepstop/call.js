/* The page of an agent: one call at a time, by keyboard or by mouse. Nothing is stored, nothing is sent, and
   what is typed stands in no address. Where a caller speaks another language of the site, what is said
   stands in both. */
(() => {
  'use strict';
  const GUARD = 200;
  const LETTERS = '123456789abcdef';
  const [SURE, NOT_SURE, CAN_NOT] = [0, 1, 2];
  const at = (id) => document.getElementById(id);
  const [desk, step, pathList] = ['desk', 'step', 'path'].map(at);
  const fields = ['number', 'name', 'address'].map((name) => at('f-' + name));
  const edition = document.querySelector('.edition').textContent.replace(/\s+/g, ' ').trim();
  const word = (name) => calls?.aloud[name] ?? (at('words').content.querySelector('[data-w=' + name + ']') ||
    at('said').content.querySelector('[data-w=' + name + ']')).textContent;
  /* The languages to choose from; nothing where the site has one. */
  const tongue = at('tongue');
  const load = loaderOf(desk.dataset.base, tongue ? [...tongue.options].slice(1).map(({ value }) => value) : []);
  const account = accountOf(word), noting = notingOf(word, account, edition);
  const made = (tag, also, ...content) => {
    const element = document.createElement(tag);
    for (const [name, value] of Object.entries(also)) {
      if (name in element) element[name] = value;
      else element.setAttribute(name, value);
    }
    element.append(...content);
    return element;
  };
  const list = (tag, lines) => made(tag, {}, ...lines.map((line) => made('li', {}, line)));
  const part = (name, title, ...content) =>
    made('section', { className: name }, made('h2', {}, title), ...content);
  const key = (name) => made('kbd', {}, name);

  let data, calls, ways, scoresOf;
  /* What is said in the caller's language, where that is another one and its words are there. */
  let theirs = null;
  /* What is said on one call; made anew for the next. */
  let call, keys, editing, shownAt = 0, deadline = 0, tapping = null;

  const anew = () => ({
    began: 0, ended: 0, there: null, words: '', complaint: null, tree: 0, walk: null, aside: null,
    danger: [], cards: [], dropped: [], told: null, code: '', end: null, found: null, finished: false,
    back: null,
  });
  const begin = () => { call.began ||= Date.now(); };
  const current = () => call.aside || call.walk;

  /* ---- in both languages ---- */

  /* What brings an element of the screen up to the language of now: it stands at those of class `both`. */
  const fills = new WeakMap();
  /* A text in the agent's language, and directly with it in the caller's: `other` finds it in that data. */
  const both = (tag, own, other) => {
    const element = made(tag, { className: 'both' });
    const fill = () => {
      const said = theirs && other(theirs);
      if (!said) return element.replaceChildren(own);
      const { lang, dir } = tongue.selectedOptions[0];
      element.replaceChildren(made('span', { className: 'meant' }, own), ' ', made('span', { className: 'theirs', lang, dir }, said));
    };
    fills.set(element, fill);
    fill();
    return element;
  };
  const lines = (tag, all, others) => all.map((each, i) => both(tag, each, (their) => others(their)?.[i]));
  const aloud = (name) => both('span', word(name), (their) => their.aloud[name]);
  /* Pages have the same numbers in all languages, bodies have not. */
  const bodyOn = (page) => (their) => their.bodies[their.pages[page][0]];
  const titleOf = (tree) => ({ complaints }) => complaints.find(([id]) => id === tree)?.[1];
  /* Words are weighed within their language: what is common in one may tell much in another. */
  const rank = () => {
    const known = [calls, theirs].filter(Boolean).map(({ complaints }) => [complaints.map(([tree]) => tree),
      matchingOf(complaints.map(([, title, words]) => title + ' ' + words.join(' ')))]);
    scoresOf = (text) => {
      const found = known.map(([trees, scores]) => [trees, scores(text)]);
      return found[0][1] && calls.complaints.map(([tree]) =>
        Math.max(...found.map(([trees, scores]) => scores[trees.indexOf(tree)] || 0)));
    };
  };
  const fillAgain = () => {
    rank();
    for (const each of step.querySelectorAll('.both')) fills.get(each)();
  };
  const loaded = new Map();
  /* The words of calls in a folder; those of an edition of another shape would be the wrong ones. */
  const callsIn = async (folder) => {
    if (!loaded.has(folder)) {
      const { calls: found } = await load(folder + 'calls.js');
      if (found.version !== calls.version) throw new RangeError(folder);
      loaded.set(folder, found);
    }
    return loaded.get(folder);
  };
  const speak = async () => {
    const { value } = tongue, status = at('tongue-status');
    theirs = null;
    status.textContent = '';
    fillAgain();
    if (!value) return;
    const found = await callsIn(value).catch(() => null);
    if (tongue.value !== value) return;
    theirs = found;
    status.textContent = found ? '' : word('not-loaded');
    fillAgain();
  };
  const speakOwn = () => {
    if (!tongue) return;
    tongue.value = '';
    speak();
  };

  /* ---- what was answered ---- */

  const answerOf = (walk, { page, pick }) => {
    const body = calls.bodies[calls.pages[page][0]];
    return body.health || pick < 0 ? word('health') : body.answers[pick][0];
  };
  const toldBy = (walk, entries) => entries.filter((entry) => walk.bodyOf(entry).kind !== 'note')
    .map((entry) => ({
      question: walk.bodyOf(entry).title, answer: answerOf(walk, entry), raw: entry.raw,
      at: entry.at || call.began,
    }));
  const told = (walk) => walk ? toldBy(walk, walk.path) : [];
  const trailOf = (walk, tree) => ({
    root: data.roots.findIndex(([id]) => id === tree), words: walk.words(), done: walk.done,
    begun: Math.floor(call.began / 60000), last: 0,
  });

  /* ---- the path ---- */

  const jump = (walk, place) => {
    editing = { walk, place };
    showStep(walk, walk.path[place]);
  };
  const showPath = () => {
    const items = [];
    for (const walk of [call.walk, call.aside]) {
      if (!walk) continue;
      walk.path.forEach((entry, place) => {
        const body = walk.bodyOf(entry);
        if (body.kind === 'note') return;
        items.push(made('li', {}, made('button', { type: 'button', onclick: () => jump(walk, place) },
          made('span', {}, body.title), made('b', {}, answerOf(walk, entry)),
          ...entry.raw ? [made('i', {}, '“' + entry.raw + '”')] : [])));
      });
    }
    if (call.complaint) {
      items.unshift(made('li', {}, made('button', { type: 'button', onclick: showFind },
        made('span', {}, word('find-title')), made('b', {}, call.complaint.title),
        ...call.words ? [made('i', {}, '“' + call.words + '”')] : [])));
    }
    pathList.replaceChildren(...items);
    pathList.lastChild?.scrollIntoView({ block: 'nearest' });
    at('f-there').textContent = call.there === null ? word('not-known') : word(call.there ? 'yes' : 'no');
  };

  /* ---- one screen ---- */

  /* Shows a screen: `choices` are [key, element, act, more keys]. */
  const show = (title, content, choices, { back, focus, where = '', extra = [], chosen = -1, tap = null } = {}) => {
    keys = new Map();
    call.back = back || null;
    tapping = tap;
    const heading = made('h1', { tabIndex: -1 }, title);
    const buttons = choices.map(([name, text, act, ...more], i) => {
      for (const each of [name, ...more]) keys.set(each, act);
      return made('li', {}, made('button', {
        type: 'button', onclick: act, ...i === chosen ? { 'aria-pressed': 'true' } : {},
      }, key(name), text));
    });
    const goBack = back ? [made('p', { className: 'keys' }, made('button',
      { type: 'button', onclick: back }, key('Backspace'), ' ', word('back')))] : [];
    step.replaceChildren(...where ? [made('p', { className: 'complaint' }, where)] : [], heading, ...content,
      ...choices.length ? [part('choose', word('choose'), made('ol', { className: 'choices' }, ...buttons))] : [],
      ...extra, ...goBack);
    showPath();
    /* Whoever just opened the page begins at its top. */
    if (shownAt) (focus || heading).focus({ preventScroll: true });
    scrollTo(0, 0);
    shownAt = performance.now();
  };
  const say = (all, others) => part('say', word('say'), ...lines('p', all, others));
  const note = (all) => part('act', word('do'), list('ul', all));

  /* ---- the beginning ---- */

  const showFirst = () => show(word('first-title'), [say([calls.calls.first], (their) => [their.calls.first])], [
    ['1', aloud('first-yes'), () => {
      begin();
      call.danger.push({ at: Date.now(), said: word('first-yes') });
      toDanger();
    }],
    ['2', aloud('first-no'), () => {
      begin();
      call.danger.push({ at: Date.now(), said: word('first-no') });
      showFacts();
    }],
  ]);
  const showFacts = () => {
    const go = (there) => {
      call.there = there;
      if (there) return showFind();
      const card = calls.calls.cards.find(([id]) => id === 'elsewhere');
      return card ? showCard(card, showFind) : showFind();
    };
    const asked = ({ aloud: words, calls: all }) => [words['facts-say'], all.there];
    show(word('facts-title'), [say(asked(calls), asked), note([word('facts-do')])], [
      ['1', aloud('there-yes'), () => go(true)], ['2', aloud('there-no'), () => go(false)],
    ], { back: showFirst, focus: fields[0].value ? null : fields[0] });
  };
  const showFind = () => {
    const field = made('input', { id: 'find', className: 'both', autocomplete: 'off', spellcheck: false, value: call.words });
    const status = made('p', { role: 'status' });
    const found = made('ol', { className: 'choices' });
    const isCode = () => /^\s*\d[\d\s.-]{3,}$/.test(field.value);
    let best = [];
    const look = () => {
      const scores = scoresOf(field.value), most = Math.max(0, ...scores || []);
      best = calls.complaints.map((each, i) => [each, scores ? scores[i] : 0])
        .filter(([, score]) => !most || score >= most / 2).sort((a, b) => b[1] - a[1]).map(([each]) => each);
      status.textContent = !scores || isCode() ? ''
        : most ? put(_("{found} of {all} fit these words."), { found: best.length, all: calls.complaints.length })
          : word('find-none');
      found.replaceChildren(...best.map((each) => made('li', {},
        made('button', { type: 'button', onclick: () => choose(each) }, both('span', each[1], titleOf(each[0]))))));
    };
    const choose = ([tree, title]) => {
      call.words = isCode() ? '' : field.value.trim();
      start(tree, title);
    };
    field.oninput = look;
    fills.set(field, look);
    field.onkeydown = (event) => {
      if (event.key === 'Enter' && !event.isComposing) {
        event.preventDefault();
        if (isCode()) resume(field.value, status);
        else if (field.value.trim()) choose(best[0]);
      } else if (event.key === 'ArrowDown') {
        event.preventDefault();
        found.querySelector('button')?.focus();
      }
    };
    show(word('find-title'), [
      say([word('find-say')], (their) => [their.aloud['find-say']]), note([word('find-do')]),
      made('p', {}, made('label', { htmlFor: 'find' }, word('find-label')), field), status, found,
    ], [], { back: showFacts, focus: field });
    look();
  };
  const prepare = (tree, title) => {
    call.tree = tree;
    call.complaint = { tree, title };
    call.found = null;
    call.table = load(tree + '/likely.js').then(() => self.stepstop.likely, () => null);
  };
  const start = (tree, title) => {
    prepare(tree, title);
    call.walk = answersOf(calls, data.roots.find(([id]) => id === tree)[3]);
    go(call.walk);
  };

  /* A caller's code puts the agent where the caller stopped. */
  const resume = (digits, status) => {
    let trail, followed;
    try {
      trail = ways.readCode(digits);
      followed = ways.follow(trail);
    } catch (error) {
      if (!(error instanceof RangeError)) throw error;
      status.textContent = word('code-wrong');
      return;
    }
    const [tree, , title, root] = data.roots[trail.root];
    const entries = [];
    let here = root;
    const notes = () => {
      while (calls.bodies[calls.pages[here][0]].kind === 'note') {
        entries.push({ page: here, pick: 0 });
        here += calls.pages[here][1][0];
      }
    };
    for (const { answer, to } of followed.ways) {
      notes();
      const pick = calls.pages[here][2].findIndex((each) => each !== null && calls.words[each] === answer[0]);
      const isHealth = calls.bodies[calls.pages[here][0]].health;
      entries.push(isHealth ? { page: here, pick: -1, word: answer[0] } : { page: here, pick });
      here = to;
    }
    prepare(tree, title);
    call.words = '';
    call.walk = answersOf(calls, root);
    call.walk.resume(entries, here, trail.done);
    go(call.walk);
  };

  /* ---- questions ---- */

  const back = (walk) => () => {
    if (editing) {
      editing = null;
      return go(current());
    }
    const last = walk.back();
    if (last) return walk.bodyOf(last).kind === 'note' ? back(walk)() : showStep(walk, last);
    if (walk === call.aside) {
      call.aside = null;
      return call.walk ? go(call.walk) : call.complaint || call.there !== null ? showFind() : showFirst();
    }
    return showFind();
  };
  const take = (walk, pick, raw) => {
    const more = { raw, at: Date.now() };
    const body = editing ? walk.bodyOf(walk.path[editing.place]) : walk.body();
    if (body.danger) call.danger.push({ at: more.at, said: body.answers[pick][0] });
    if (editing) {
      call.dropped.push(...toldBy(walk, walk.change(editing.place, pick, more)));
      editing = null;
    } else walk.take(pick, more);
    go(walk);
  };
  const go = (walk) => {
    if (walk.here === null) {
      call.aside = null;
      return call.walk ? go(call.walk) : showFacts();
    }
    return walk.isEnd() ? showEnd(walk, walk.body(), bodyOn(walk.here)) : showStep(walk, null);
  };
  const toDanger = () => {
    begin();
    editing = null;
    call.aside = answersOf(calls, calls.danger);
    go(call.aside);
  };

  const lettered = (answers) => {
    let number = 0;
    const taken = new Set();
    return answers.map(([, kind]) => {
      const own = kind === NOT_SURE ? '0' : kind === CAN_NOT ? '-' : '';
      if (own && !taken.has(own)) {
        taken.add(own);
        return own;
      }
      return LETTERS[number++];
    });
  };
  const heard = (all, others) => part('hear', word('hear'), list('ul', all.map(([they, mayBe, ask], i) => {
    const item = document.createDocumentFragment(), other = (their) => others(their)?.[i];
    item.append(both('span', '“' + they + '”', (their) => other(their) && '“' + other(their)[0] + '”'),
      ' ' + word('may-be') + ' ' + mayBe + '. ', made('b', {}, word('ask')), ' ',
      both('span', ask, (their) => other(their)?.[2]));
    return item;
  })));
  const takes = ({ minutes, waits }) => put(
    waits ? minutes === 1 ? _("Takes about 1 minute, most of it waiting. Offer to call back.")
      : _("Takes about {minutes} minutes, most of it waiting. Offer to call back.")
      : minutes === 1 ? _("Takes about 1 minute.") : _("Takes about {minutes} minutes."), { minutes });
  const check = (walk, body, other) => [
    ...body.before ? [part('before', aloud('before'),
      list('ul', lines('span', body.before, (their) => other(their).before)), made('p', {}, word('before-else')))] : [],
    ...walk.isDone() ? [made('p', { className: 'once' }, word('done-already'))] : [],
    ...body.stop ? [part('stop-if', aloud('stop-if'),
      list('ul', lines('span', body.stop, (their) => other(their).stop)))] : [],
    part('say', word('say'), ...lines('p', body.say || [], (their) => other(their).say),
      list('ol', lines('span', body.do, (their) => other(their).do))),
    part('say back', word('say-back'), both('p', calls.calls.repeat, (their) => their.calls.repeat),
      made('p', { className: 'want' }, word('repeat-wanted') + ' ',
        both('span', body.title + (body.stop ? '; ' + word('and-stop') + ': ' + body.stop.join(' ') : ''), (their) => {
          const { title, stop } = other(their);
          return title + (stop ? '. ' + their.aloud['stop-if'] + ': ' + stop.join(' ') : '');
        })),
      made('p', { className: 'want' }, word('one') + ' ',
        both('span', '“' + word('each-done') + '”', (their) => '“' + their.aloud['each-done'] + '”'), ' ' + takes(body))),
  ];
  const never = (all, other) => all
    ? [part('not', aloud('never'), list('ul', lines('span', all, (their) => other(their).never)))] : [];
  const tapBox = () => {
    const large = made('p', { className: 'count', role: 'status' }), small = made('p', {});
    const counting = countingOf((one, other) => {
      if (large.textContent !== one) large.textContent = one;
      if (small.textContent !== other) small.textContent = other;
    }, word('tap-then'));
    const button = made('button', { type: 'button' }, key('Space'), ' ', word('tap-button'));
    button.onpointerdown = () => counting.down();
    button.onpointerup = button.onpointercancel = () => counting.up();
    return [counting, part('tap', word('tap'), made('div', { className: 'keys' }, button,
      made('button', { type: 'button', onclick: () => counting.clear() }, word('tap-over'))), large, small)];
  };
  const showStep = (walk, entry) => {
    const body = entry ? walk.bodyOf(entry) : walk.body(), other = bodyOn(entry ? entry.page : walk.here);
    const names = lettered(body.answers);
    const field = body.kind === 'note' || body.health ? null
      : made('input', { id: 'raw', autocomplete: 'off', value: entry?.raw || '' });
    const choices = body.answers.map(([text], pick) => [
      names[pick], body.kind === 'note' ? made('span', {}, word('next'))
        : both('span', text, (their) => other(their).answers[pick][0]),
      () => take(walk, pick, field ? field.value.trim() : ''), ...body.kind === 'note' ? ['Enter'] : [],
    ]);
    const number = walk.path.filter((each) => walk.bodyOf(each).kind !== 'note').length + 1;
    const signs = (body.signs || []).map(([sign, text], i) => made('div', { className: 'sign ' + sign.toLowerCase() },
      made('p', { className: 'word' }, aloud(sign)), both('p', text, (their) => other(their).signs?.[i][1])));
    const [tap, box] = body.taps ? tapBox() : [];
    show(body.title, [
      ...signs,
      ...body.do ? check(walk, body, other) : body.say ? [say(body.say, (their) => other(their).say)] : [],
    ], choices, {
      back: back(walk),
      where: (walk === call.aside ? word('danger-now') : call.complaint.title) + ' · ' + word('question') + ' ' + number,
      chosen: entry ? entry.pick : -1,
      tap,
      extra: [
        ...box ? [box] : [],
        ...field ? [made('p', { className: 'raw' }, made('label', { htmlFor: 'raw' }, key('/'), ' ', word('their-words')), field)] : [],
        ...body.hear ? [heard(body.hear, (their) => other(their).hear)] : [],
        ...never(body.never, other),
        ...body.why ? [made('details', {}, made('summary', {}, word('why')), made('p', {}, body.why))] : [],
      ],
    });
  };

  /* ---- the end ---- */

  const soon = ({ soon: [when] }, { aloud: words }) => words.soon + ' ' + when + '.';
  const who = ({ who: comes }, { aloud: words }) => words['who-comes'] + ' ' + comes;
  const showEnd = (walk, body, other) => {
    const isDanger = body.kind === 'danger';
    call.end = body;
    call.found = null;
    const notes = made('textarea', { id: 'notes', className: 'both', rows: 16, readOnly: true });
    const status = made('p', { role: 'status' });
    const fill = () => {
      call.ended = Date.now();
      const tree = walk === call.aside ? 'danger' : call.tree;
      const trail = trailOf(walk, tree);
      const followed = ways.follow(trail);
      call.told = briefOf(data, followed);
      call.code = ways.inGroups(ways.code(trail));
      call.entries = [...told(call.walk), ...walk === call.aside ? told(walk) : []];
      call.facts = {
        ...Object.fromEntries(['number', 'name', 'address'].map((name, i) => [name, fields[i].value.trim()])),
        there: call.there, words: call.words,
        speaks: tongue?.value ? { code: tongue.selectedOptions[0].lang, name: tongue.selectedOptions[0].text } : null,
      };
      notes.value = noting.text(call);
      return followed;
    };
    const copy = (make) => () => {
      fill();
      navigator.clipboard.writeText(make(call)).then(() => {
        call.finished = true;
        status.textContent = word('copied');
      }, () => { status.textContent = word('not-copied'); });
    };
    fills.set(notes, fill);
    const followed = fill();
    const content = [
      ...body.say ? [say(body.say, (their) => other(their).say)] : [],
      ...isDanger ? [part('act', word('do'), made('p', {}, word('end-call')))] : [],
      ...body.outside ? [part('say', word('outside'), ...lines('p', body.outside, (their) => other(their).outside))] : [],
      ...never(body.never, other),
      part('act', word('do'), list('ul', [
        ...body.soon && !isDanger ? [made('span', {}, both('span', soon(body, calls), (their) => soon(other(their), their)),
          ' ' + word('book'))] : [],
        ...body.left ? [both('span', body.left, (their) => other(their).left)] : [],
        ...body.who ? [both('span', who(body, calls), (their) => who(other(their), their))] : [],
        ...isDanger ? [word('after-danger') + ' ' + calls.calls.nobody.join(' ')] : [],
      ])),
    ];
    const extra = [part('notes', word('notes'),
      made('div', { className: 'keys' },
        made('button', { type: 'button', onclick: copy(noting.text) }, key('c'), ' ', word('copy')),
        made('button', { type: 'button', onclick: copy(noting.json) }, key('d'), ' ', word('copy-json')),
        made('button', { type: 'button', onclick: next }, key('a'), ' ', word('new'))),
      status, made('p', {}, made('label', { htmlFor: 'notes', className: 'hidden' }, word('notes')), notes))];
    show(body.title, content, [], {
      back: back(walk), extra, where: walk === call.aside ? word('danger-now') : call.complaint?.title || '',
    });
    keys.set('c', copy(noting.text));
    keys.set('d', copy(noting.json));
    keys.set('a', next);
    if (walk === call.walk) {
      call.table.then((table) => {
        if (!table || call.end !== body) return;
        call.found = account.ranked(followed.ways);
        fill();
      });
    }
  };
  const stopHere = () => {
    if (!call.walk) return;
    call.aside = null;
    editing = null;
    const isHurried = call.walk.words().includes(calls.raised);
    const stop = ({ bodies, stops }) => bodies[stops[Number(isHurried)]];
    showEnd(call.walk, stop(calls), stop);
  };
  /* How calls of this page ended: numbers of them and nothing of anybody, until the page is left. */
  const counts = new Map();
  const count = () => {
    const { complaint, end } = call;
    if (!end) return;
    const row = [complaint ? complaint.title : '', end.kind, end.title];
    const name = JSON.stringify(row);
    counts.set(name, [row, (counts.get(name)?.[1] || 0) + 1]);
    const calls = [...counts.values()].reduce((sum, [, number]) => sum + number, 0);
    at('tally').hidden = false;
    at('tally-count').textContent = calls;
    const cell = (text) => '"' + String(text).replaceAll('"', '""') + '"';
    const rows = [['complaint', 'kind', 'ending', 'calls'],
      ...[...counts.values()].map(([each, number]) => [...each, number])];
    const text = rows.map((each) => each.map(cell).join(',') + '\r\n').join('');
    URL.revokeObjectURL(at('tally-save').href);
    at('tally-save').href = URL.createObjectURL(new Blob([text], { type: 'text/csv' }));
  };
  const next = () => {
    if (!call.finished && call.began && !confirm(word('unfinished'))) return;
    count();
    for (const field of fields) field.value = '';
    deadline = 0;
    at('timer').textContent = '';
    editing = null;
    speakOwn();
    call = anew();
    showFirst();
  };

  /* ---- what is always at hand ---- */

  const showCard = (card, then) => {
    const [, , name, says, does] = card;
    const was = then || resumeScreen();
    begin();
    call.cards.push({ at: Date.now(), name });
    const other = (their) => their.calls.cards.find(([id]) => id === card[0])?.[3];
    show(name, [say(says, other), ...does.length ? [note(does)] : []],
      [['1', made('span', {}, word('go-back')), was, 'Enter']], { back: was });
  };
  /* What leads back to the screen of now. */
  const resumeScreen = () => {
    const walk = current(), place = editing;
    if (!walk) return call.began ? (call.there === null ? showFacts : showFind) : showFirst;
    return () => {
      editing = place;
      return place ? showStep(place.walk, place.walk.path[place.place]) : go(walk);
    };
  };
  const startTimer = () => {
    begin();
    deadline = Date.now() + calls.calls.minutes * 60000;
    at('timer').textContent = put(_("Call back in {minutes} minutes: {time}"), {
      minutes: calls.calls.minutes,
      time: new Date(deadline).toLocaleTimeString(document.documentElement.lang, { timeStyle: 'short' }),
    });
  };
  const tick = () => {
    const seconds = call.began ? Math.floor((Date.now() - call.began) / 1000) : 0;
    at('clock').textContent = Math.floor(seconds / 60) + ':' + String(seconds % 60).padStart(2, '0');
    if (deadline && Date.now() >= deadline) {
      deadline = 0;
      at('timer').textContent = word('timer-over') + ' ' + fields[0].value;
    }
  };
  const always = () => new Map([
    ...calls.calls.cards.map((card) => [card[1], () => showCard(card)]),
    ['t', startTimer], ['.', stopHere],
    ['/', () => at('raw')?.focus()],
    ['Backspace', () => call.back && call.back()],
  ]);
  const isTyping = (target) => target.matches('textarea, input:not([type=checkbox])');

  const listen = () => {
    const known = always();
    addEventListener('keydown', (event) => {
      if (event.ctrlKey || event.metaKey || event.altKey || event.isComposing) return;
      if (event.key === 'Escape') {
        event.preventDefault();
        toDanger();
        return;
      }
      const { target } = event;
      if (isTyping(target)) {
        if (event.key === 'Enter' && target.id === 'raw') {
          event.preventDefault();
          step.querySelector('h1').focus();
        }
        const place = fields.indexOf(target);
        if (event.key === 'Enter' && place >= 0) {
          event.preventDefault();
          (fields[place + 1] || step.querySelector('h1')).focus();
        }
        return;
      }
      if (tapping && event.key === ' ' && !target.matches('button, summary, select')) {
        event.preventDefault();
        if (!event.repeat) tapping.down();
        return;
      }
      /* Letters would choose a language, too. */
      const isKey = at('keys-on').checked;
      if (isKey && target === tongue && event.key.length === 1 && event.key !== ' ') event.preventDefault();
      const isPressed = target.matches('button, summary, a, select, [type=checkbox]') && /^( |Enter)$/.test(event.key);
      if (isPressed || event.repeat || !isKey) return;
      if (performance.now() - shownAt < GUARD) return;
      const act = keys.get(event.key) || known.get(event.key);
      if (act) {
        event.preventDefault();
        act();
      }
    });
    addEventListener('keyup', (event) => { if (tapping && event.key === ' ') tapping.up(); });
    addEventListener('beforeunload', (event) => { if (call.began && !call.finished) event.preventDefault(); });
    at('strip').addEventListener('click', (event) => {
      event.preventDefault();
      toDanger();
    });
    setInterval(tick, 1000);
  };
  const run = async () => {
    await load('trail.js');
    await load('calls.js');
    data = self.stepstop.trail;
    calls = self.stepstop.calls;
    ways = waysOf(data);
    rank();
    at('cards').replaceChildren(...calls.calls.cards.map((card) => made('li', {}, made('button',
      { type: 'button', onclick: () => showCard(card) }, key(card[1]), ' ', card[2]))),
    made('li', {}, made('button', { type: 'button', onclick: startTimer }, key('t'), ' ' +
      put(_("Call back in {minutes} minutes"), { minutes: calls.calls.minutes }))),
    made('li', {}, made('button', { type: 'button', onclick: stopHere }, key('.'), ' ' + word('stop-here'))));
    call = anew();
    listen();
    if (tongue) {
      tongue.value = '';
      tongue.onchange = speak;
    }
    at('unscripted').remove();
    desk.hidden = false;
    showFirst();
  };
  run().catch(() => { at('unscripted').querySelector('p').textContent = word('lost'); });
})();
