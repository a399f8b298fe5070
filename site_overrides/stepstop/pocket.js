/* A file with a whole complaint works without this. It tells a screen reader which step shows: the
   title and the focus follow it. Whoever comes by a link into the middle is told where to begin. */
(() => {
  'use strict';
  const whole = document.title;
  const first = document.querySelector('main > section');
  const lost = document.querySelector('.lost');
  const hurry = document.querySelector('.hurry');
  hurry.id = 'hurry';
  const show = () => {
    const target = document.querySelector('main :target');
    const step = !target ? first : target.matches('b, i') ? target.nextElementSibling : target;
    const heading = step.querySelector('h1');
    document.title = heading.textContent + ' · ' + whole;
    if (hurry.checkVisibility()) heading.setAttribute('aria-describedby', 'hurry');
    return heading;
  };
  show();
  const [visit] = performance.getEntriesByType('navigation');
  lost.classList.toggle('shown', !!location.hash && visit.type === 'navigate');
  addEventListener('hashchange', () => {
    lost.classList.remove('shown');
    const heading = show();
    heading.tabIndex = -1;
    heading.focus({ preventScroll: true });
  });
})();
