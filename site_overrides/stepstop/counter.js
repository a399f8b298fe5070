/* The page on which people tap along: presses in, what counting.js says out, large and aloud. */
(() => {
  'use strict';
  const at = (id) => document.getElementById(id);
  const [pad, count, then, say] = ['pad', 'count', 'then', 'say'].map(at);
  const show = (large, small, done) => {
    if (count.textContent !== large) count.textContent = large;
    if (then.textContent !== small) then.textContent = small;
    say.hidden = !(done && 'speechSynthesis' in window);
  };
  const counting = countingOf(show, _("Go back and choose that. Write it down, and the color, too."));
  const down = () => {
    counting.down();
    pad.classList.add('lit');
  };
  const up = () => {
    counting.up();
    pad.classList.remove('lit');
  };
  const isKey = (event) => event.key === ' ' || event.key === 'Enter';
  pad.addEventListener('pointerdown', (event) => {
    if (event.button) return;
    pad.setPointerCapture(event.pointerId);
    down();
  });
  for (const end of ['pointerup', 'pointercancel']) pad.addEventListener(end, up);
  pad.addEventListener('contextmenu', (event) => event.preventDefault());
  pad.addEventListener('keydown', (event) => {
    if (!isKey(event)) return;
    event.preventDefault();
    if (!event.repeat) down();
  });
  pad.addEventListener('keyup', (event) => { if (isKey(event)) up(); });
  pad.addEventListener('blur', up);
  say.addEventListener('click', () => {
    speechSynthesis.cancel();
    speechSynthesis.speak(new SpeechSynthesisUtterance(count.textContent + '. ' + then.textContent));
  });
  at('over').addEventListener('click', () => {
    counting.clear();
    pad.focus();
  });
  at('back').addEventListener('click', () => history.back());
  at('back').hidden = history.length < 2;
  at('tapping').hidden = false;
})();
