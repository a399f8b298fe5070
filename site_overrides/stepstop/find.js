/* Narrows the list on the start page to what is typed. Without it the whole list stands there. */
(() => {
  'use strict';
  const box = document.getElementById('find');
  const field = box.querySelector('input');
  const told = box.querySelector('[role=status]');
  const parts = [...document.querySelectorAll('.part')];
  const split = (text) => text.toLowerCase().normalize('NFD').replace(/\p{M}|['’]/gu, '')
    .split(/[^\p{L}\p{N}]+/u).filter(Boolean);
  const items = parts.flatMap((part) => [...part.querySelectorAll('li')]).map((item) => ({
    item,
    words: new Set(split(item.dataset.words + ' ' + item.querySelector('span').firstChild.data)),
  }));

  /* Whether one letter more, less, other, or two changed round make one word of the other. */
  const near = (a, b) => {
    let i = 0;
    while (i < a.length && a[i] === b[i]) i++;
    const rest = (p, q) => a.slice(i + p) === b.slice(i + q);
    return rest(1, 1) || rest(1, 0) || rest(0, 1) ||
      (a[i] === b[i + 1] && a[i + 1] === b[i] && rest(2, 2));
  };
  /* How well a typed word fits one of the list: whole, begun, or with a slip. */
  const fit = (typed, word) => typed === word ? 1
    : typed.length > 2 && word.startsWith(typed) ? .8
    : typed.length > 3 && near(typed, word) ? .6 : 0;

  const look = () => {
    const typed = [...new Set(split(field.value))];
    const scores = items.map(() => 0);
    for (const each of typed) {
      const fits = items.map(({ words }) => Math.max(0, ...[...words].map((word) => fit(each, word))));
      const many = fits.filter(Boolean).length;
      /* A word that stands nearly everywhere tells little. */
      fits.forEach((value, i) => { scores[i] += value && value * Math.log((items.length + 1) / many); });
    }
    const best = Math.max(...scores);
    const found = best > 0 ? items.filter((_, i) => scores[i] >= best / 2) : items;
    for (const { item } of items) item.hidden = true;
    for (const { item } of found) item.hidden = false;
    for (const part of parts) part.hidden = !part.querySelector('li:not([hidden])');
    told.textContent = !typed.length ? ''
      : best > 0 ? found.length + ' of ' + items.length + ' fit these words.'
      : 'Nothing fits these words. This is the whole list.';
  };
  field.addEventListener('input', look);
  box.hidden = false;
  /* What was typed before stands there again after Back. */
  if (field.value) look();
})();
