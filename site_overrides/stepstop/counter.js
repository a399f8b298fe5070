/* The page on which people tap along: presses in, the reading of tapping.js out, large and aloud.
   It asks for the reading after each press and twice a second, since a dark pause also tells. */
(() => {
  'use strict';
  const at = (id) => document.getElementById(id);
  const [pad, count, then, say] = ['pad', 'count', 'then', 'say'].map(at);
  const LONG_ENOUGH = 180000;
  const ROUNDS = 3, MOST = 6;
  let presses = [], since = null, timer = 0;

  const many = (n) => n + (n === 1 ? ' blink' : ' blinks');
  const found = {
    'groups': ({ counts }) => many(counts[0]),
    'two-groups': ({ counts }) => 'First ' + counts[0] + ', then ' + counts[1],
    'long-short': ({ letters }) => [...letters]
      .map((each) => each === 'L' ? 'long' : 'short').join(', ').replace(/^./, (c) => c.toUpperCase()),
    'heartbeat': () => 'Slow and even, no groups',
    'rapid': () => 'A fast flicker',
  };
  const show = (large, small, done) => {
    if (count.textContent !== large) count.textContent = large;
    if (then.textContent !== small) then.textContent = small;
    say.hidden = !(done && 'speechSynthesis' in window);
    if (done) clearInterval(timer);
  };
  const look = () => {
    if (since !== null || !presses.length) return;
    const now = performance.now();
    const said = readTaps(presses, now);
    const large = found[said.pattern];
    if (large) {
      const why = said.agree > 1 ? 'Two rounds agree. ' : '';
      show(large(said), why + 'Go back and choose that. Write it down, and the color, too.', true);
    } else if (said.rounds > MOST || now - presses[0][0] > LONG_ENOUGH) {
      show('Not certain', 'The rounds differ. Make a video of half a minute for the technician.', true);
    } else if (said.pattern === 'uncertain') {
      show('Not certain yet', 'Tap one more round.', false);
    } else {
      show('', 'Go on. Rounds so far: ' + Math.min(said.rounds, ROUNDS) + ' of ' + ROUNDS + '.', false);
    }
  };
  const down = () => {
    if (since !== null) return;
    if (!presses.length) timer = setInterval(look, 500);
    since = performance.now();
    pad.classList.add('lit');
  };
  const up = () => {
    if (since === null) return;
    /* Two events in one tick of a coarse clock are still a press. */
    presses.push([since, Math.max(performance.now(), since + 1)]);
    since = null;
    pad.classList.remove('lit');
    look();
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
    clearInterval(timer);
    presses = [];
    since = null;
    show('', '', false);
    pad.focus();
  });
  at('back').addEventListener('click', () => history.back());
  at('back').hidden = history.length < 2;
  at('tapping').hidden = false;
})();
