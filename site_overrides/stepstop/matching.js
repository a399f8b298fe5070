/* Which of some lists of words fit what somebody types, with slips of the finger allowed. */
const matchingOf = (lists) => {
  'use strict';
  const split = (text) => text.toLowerCase().normalize('NFD').replace(/\p{M}|['’]/gu, '')
    .split(/[^\p{L}\p{N}]+/u).filter(Boolean);
  const known = lists.map((text) => new Set(split(text)));

  /* Whether one letter more, less, other, or two changed round make one word of the other. */
  const near = (a, b) => {
    let i = 0;
    while (i < a.length && a[i] === b[i]) i++;
    const rest = (p, q) => a.slice(i + p) === b.slice(i + q);
    return rest(1, 1) || rest(1, 0) || rest(0, 1) ||
      (a[i] === b[i + 1] && a[i + 1] === b[i] && rest(2, 2));
  };
  /* How well a typed word fits one of a list: whole, begun, or with a slip. */
  const fit = (typed, word) => typed === word ? 1
    : typed.length > 2 && word.startsWith(typed) ? .8
    : typed.length > 3 && near(typed, word) ? .6 : 0;

  /* How well each list fits; null where nothing was typed. A word that stands nearly everywhere
     tells little. */
  return (text) => {
    const typed = [...new Set(split(text))];
    if (!typed.length) return null;
    const scores = known.map(() => 0);
    for (const each of typed) {
      const fits = known.map((words) => Math.max(0, ...[...words].map((word) => fit(each, word))));
      const many = fits.filter(Boolean).length;
      fits.forEach((value, i) => { scores[i] += value && value * Math.log((known.length + 1) / many); });
    }
    return scores;
  };
};
