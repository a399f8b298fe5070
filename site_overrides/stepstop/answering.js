/* The answers of a call, over the data of calls.js: taken, taken back, changed. After a change, what was
   answered later stays as far as the same is asked again. Acts that may happen once stay done. */
const answersOf = (calls, root) => {
  'use strict';
  const { pages, bodies, words } = calls;
  let path = [], here = root, done = 0;
  const body = (page) => bodies[pages[page][0]];
  /* The next page; null where the walk leads back to the start. */
  const after = (page, pick) => {
    const step = pages[page][1][pick];
    return step === null ? null : page + step;
  };
  const goOn = (entry) => {
    const answer = body(here).answers[entry.pick];
    if (answer[1] !== 2) done |= pages[here][3] || 0;
    path.push({ ...entry, page: here });
    here = after(here, entry.pick);
  };
  /* Whether the same is asked here as on the page of an entry: its answers mean the same. What a code
     tells of health names no answer (its pick is below zero): that is asked again. */
  const fits = (entry) => entry.pick >= 0 && here !== null && pages[here].length > 1 &&
    pages[entry.page][0] === pages[here][0];
  /* Takes entries as long as they fit; the others, which no longer do. */
  const replay = (entries) => {
    const left = [...entries];
    while (left.length && fits(left[0])) goOn(left.shift());
    return left;
  };
  return {
    get path() { return path; },
    get here() { return here; },
    get done() { return done; },
    body: () => body(here),
    bodyOf: (entry) => body(entry.page),
    /* The acts of the check here that were done already. */
    isDone: () => pages[here].length > 1 && (pages[here][3] & done) !== 0,
    isEnd: () => here !== null && pages[here].length === 1,
    take: (pick, more = {}) => goOn({ pick, ...more }),
    /* Back to the page before: its entry, or nothing at the beginning. */
    back: () => {
      const last = path.pop();
      if (last) here = last.page;
      return last;
    },
    /* Another answer at a place of the path: the entries that had to go. */
    change: (place, pick, more = {}) => {
      const [entry, ...rest] = path.slice(place);
      path = path.slice(0, place);
      here = entry.page;
      goOn({ ...entry, word: undefined, pick, ...more });
      return replay(rest);
    },
    /* Puts the walk of a followed trail here: pages about health are told as one. */
    resume: (entries, page, acts) => {
      path = entries;
      here = page;
      done |= acts;
    },
    /* The words of the trail, up to where a trail ends. */
    words: () => {
      const found = [];
      for (const { page, pick, word } of path) {
        const each = word ?? (pages[page][2][pick] === null ? null : words[pages[page][2][pick]]);
        if (each === null) break;
        if (each) found.push(each);
      }
      return found;
    },
  };
};
