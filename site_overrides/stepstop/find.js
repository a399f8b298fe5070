/* Narrows the list on the start page to what is typed. Without it the whole list stands there. */
(() => {
  'use strict';
  const box = document.getElementById('find');
  const field = box.querySelector('input');
  const told = box.querySelector('[role=status]');
  const parts = [...document.querySelectorAll('.part')];
  const items = parts.flatMap((part) => [...part.querySelectorAll('li')]);
  const scoresOf = matchingOf(items.map((item) =>
    item.dataset.words + ' ' + item.querySelector('span').firstChild.data));

  const look = () => {
    const scores = scoresOf(field.value) || [];
    const best = Math.max(0, ...scores);
    const found = best > 0 ? items.filter((_, i) => scores[i] >= best / 2) : items;
    for (const item of items) item.hidden = true;
    for (const item of found) item.hidden = false;
    for (const part of parts) part.hidden = !part.querySelector('li:not([hidden])');
    told.textContent = !scores.length ? ''
      : best > 0 ? _("{found} of {all} fit these words.").replace('{found}', found.length).replace('{all}', items.length)
      : _("Nothing fits these words. This is the whole list.");
  };
  field.addEventListener('input', look);
  box.hidden = false;
  /* What was typed before stands there again after Back. */
  if (field.value) look();
})();
