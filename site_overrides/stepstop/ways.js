/* Trails as trail.py states them, over the data of trail.js: followed, and as a number to say.
   A trail is {root, words, done, begun, last}; root is the number of a tree where walks begin. */
const waysOf = (data) => {
  'use strict';
  const LINK = /^#?on=([\w-]{5})\.([0-9a-z]{1,8})\.([0-9a-z]{1,6})\.([0-9a-z]{1,6})\.((?:[\w-]{5})*)(?:~.*)?$/;
  const MOST_WORDS = 200;
  const ALPHABET = 'ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_';
  const { pages, shapes, answers, roots } = data;
  const bad = (why) => { throw new RangeError(why); };

  /* [[answer, its page's shape, next page], ...]; a page passes its shape on. */
  const from = (page) => {
    const [number, ...steps] = pages[page];
    const shape = shapes[number];
    return steps.map((step, i) => ({ answer: answers[shape[5 + i]], shape, to: page + step }));
  };
  const follow = (trail) => {
    let here = roots[trail.root][3];
    const ways = trail.words.map((word) => {
      const way = from(here).find(({ answer }) => answer[0] === word);
      if (!way) bad('an answer of the trail is none of its page');
      here = way.to;
      return way;
    });
    return { trail, ways, page: here };
  };
  const address = (page) => {
    const [tree, rest] = shapes[pages[page][0]];
    return data.trees[tree][0] + '/' + rest + '.html';
  };
  const effects = (done) => done < 2 ** data.once.length ? done : bad('there are no such acts');

  const readLink = (hash) => {
    const [, version, begun, last, done, text] = LINK.exec(hash) || bad('no link with a trail');
    if (text.length > MOST_WORDS * 5) bad('no link with a trail');
    if (version !== data.version) bad('from another edition');
    const [first, ...words] = text.match(/.{5}/g) || [];
    const root = roots.findIndex((each) => each[1] === first);
    if (root < 0) bad('the link does not say where the walk began');
    const [b, l, d] = [begun, last, done].map((each) => parseInt(each, 36));
    return { root, words, done: effects(d), begun: b, last: l };
  };

  const link = ({ root, words, done, begun, last }) => '#on=' + [data.version,
    ...[begun, last, done].map((each) => each.toString(36)), roots[root][1] + words.join('')].join('.');

  /* [k]: how many trails of exactly k more answers begin at a page. */
  const kept = new Map();
  const counts = (page) => {
    const waiting = [page];
    while (waiting.length) {
      const here = waiting.at(-1);
      const open = kept.has(here) ? [] : from(here).filter(({ to }) => !kept.has(to));
      if (open.length) {
        waiting.push(...open.map(({ to }) => to));
        continue;
      }
      waiting.pop();
      if (kept.has(here)) continue;
      const total = [1n];
      for (const { to } of from(here)) {
        kept.get(to).forEach((count, k) => { total[k + 1] = (total[k + 1] || 0n) + count; });
      }
      kept.set(here, total);
    }
    return kept.get(page);
  };
  const count = (page, more) => counts(page)[more] || 0n;

  const width = (most) => String(most).length;
  const rootDigits = width(roots.length - 1), actDigits = width(2 ** data.once.length - 1);
  const seed = String([...data.version].reduce((n, c) => n * 64 + ALPHABET.indexOf(c), 0));
  const place = (trail) => {
    let here = roots[trail.root][3], sum = 0n;
    const long = trail.words.length;
    counts(here).slice(0, long).forEach((each) => { sum += each; });
    trail.words.forEach((word, done) => {
      for (const { answer, to } of from(here)) {
        if (answer[0] === word) {
          here = to;
          break;
        }
        sum += count(to, long - done - 1);
      }
    });
    return sum;
  };
  const code = (trail) => {
    follow(trail);
    const said = String(trail.root).padStart(rootDigits, '0') +
      String(trail.done).padStart(actDigits, '0') + place(trail);
    return said + String(98n - BigInt(seed + said) * 100n % 97n).padStart(2, '0');
  };
  const unplaced = (root, number) => {
    let here = roots[root][3], left = number, long = 0;
    const all = counts(here);
    while (long < all.length && left >= all[long]) left -= all[long++];
    if (long === all.length) bad('no such code');
    const words = [];
    while (words.length < long) {
      for (const { answer, to } of from(here)) {
        const each = count(to, long - words.length - 1);
        if (left < each) {
          words.push(answer[0]);
          here = to;
          break;
        }
        left -= each;
      }
    }
    return words;
  };
  const readCode = (text) => {
    const said = text.replace(/[\s.-]/g, '');
    const wide = rootDigits + actDigits;
    if (!/^[0-9]{1,30}$/.test(said) || said.length < wide + 3) bad('a code has digits only');
    if (BigInt(seed + said) % 97n !== 1n) bad('a digit is wrong');
    const root = Number(said.slice(0, rootDigits)), number = said.slice(wide, -2);
    if (root >= roots.length || /^0./.test(number)) bad('no such code');
    const done = effects(Number(said.slice(rootDigits, wide)));
    return { root, words: unplaced(root, BigInt(number)), done, begun: 0, last: 0 };
  };
  const inGroups = (digits) => digits.replace(/\B(?=(?:\d{3})+$)/g, ' ');
  return { follow, address, link, readLink, code, readCode, inGroups };
};
