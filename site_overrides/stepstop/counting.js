/* What presses in time with a light come to, as it is shown: the reading of tapping.js after each press and
   twice a second, since a dark pause also tells. `show(large, small, done)` shows it; `then` is what
   to do with a count that is certain. */
const countingOf = (show, then) => {
  'use strict';
  const LONG_ENOUGH = 180000;
  const ROUNDS = 3, MOST = 6;
  let presses = [], since = null, timer = 0;

  const put = (text, ...values) => values.reduce((said, each, i) => said.replace('{' + 'ab'[i] + '}', each), text);
  const many = (n) => put(n === 1 ? _("{a} blink") : _("{a} blinks"), n);
  const found = {
    'groups': ({ counts }) => many(counts[0]),
    'two-groups': ({ counts }) => put(_("First {a}, then {b}"), ...counts),
    'long-short': ({ letters }) => [...letters]
      .map((each) => each === 'L' ? _("long") : _("short")).join(', ').replace(/^./, (c) => c.toUpperCase()),
    'heartbeat': () => _("Slow and even, no groups"),
    'rapid': () => _("A fast flicker"),
  };
  const tell = (large, small, done) => {
    show(large, small, done);
    if (done) clearInterval(timer);
  };
  const look = () => {
    if (since !== null || !presses.length) return;
    const now = performance.now();
    const said = readTaps(presses, now);
    const large = found[said.pattern];
    if (large) tell(large(said), (said.agree > 1 ? _("Two rounds agree.") + ' ' : '') + then, true);
    else if (said.rounds > MOST || now - presses[0][0] > LONG_ENOUGH) {
      tell(_("Not certain"), _("The rounds differ. Make a video of half a minute for the technician."), true);
    } else if (said.pattern === 'uncertain') tell(_("Not certain yet"), _("Tap one more round."), false);
    else tell('', put(_("Go on. Rounds so far: {a} of {b}."), Math.min(said.rounds, ROUNDS), ROUNDS), false);
  };
  return {
    down: () => {
      if (since !== null) return;
      if (!presses.length) timer = setInterval(look, 500);
      since = performance.now();
    },
    up: () => {
      if (since === null) return;
      /* Two events in one tick of a coarse clock are still a press. */
      presses.push([since, Math.max(performance.now(), since + 1)]);
      since = null;
      look();
    },
    clear: () => {
      clearInterval(timer);
      presses = [];
      since = null;
      show('', '', false);
    },
  };
};
