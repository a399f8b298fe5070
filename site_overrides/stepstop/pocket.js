/* A file with a whole complaint works without this. It tells a screen reader which step shows: the
   title and the focus follow it, and so do the links to other languages, whose files number their steps
   alike. Whoever comes by a link into the middle is told where to begin. */
(() => {
  'use strict';
  const whole = document.title;
  const first = document.querySelector('main > section h1');
  const lost = document.querySelector('.lost');
  document.querySelector('.hurry').id = 'hurry';
  const larger = document.getElementById('larger'), looks = document.documentElement.classList;
  larger.onclick = () => larger.setAttribute('aria-pressed', looks.toggle('large'));
  /* Not by `:target`, which names nothing before the file has been read to its end. */
  const show = () => {
    for (const each of document.querySelectorAll('.tongue')) each.hash = location.hash;
    const target = document.getElementById(location.hash.slice(1));
    const step = target?.matches('b, i') ? target.nextElementSibling : target;
    const heading = step?.querySelector('h1') ?? first;
    document.title = heading.textContent + ' · ' + whole;
    if (target?.localName === 'b' && !step.matches('.calls')) {
      heading.setAttribute('aria-describedby', 'hurry');
    }
    return heading;
  };
  const [visit] = performance.getEntriesByType('navigation');
  const isLost = !show().closest('.alarm, .away') && location.hash && visit.type === 'navigate';
  lost.classList.toggle('shown', isLost);
  addEventListener('hashchange', () => {
    lost.classList.remove('shown');
    const heading = show();
    heading.tabIndex = -1;
    heading.focus({ preventScroll: true });
  });
})();
