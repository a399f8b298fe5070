/* What taps say about a blinking light: `read` of tapping.py, which states the method and the
   reason of each number. Same arithmetic in the same order; a test holds that both say the same.
   `presses` is [[start, end], ...] in ms, `until` the time up to which the light was watched. */
const readTaps = (() => {
  'use strict';
  const mean = (values) => {
    let total = 0;
    for (const value of values) total += value;
    return total / values.length;
  };
  const border = (low, high) => low + high > 0 ? 2 * low * high / (low + high) : 0;
  const isUneven = (values, most) => {
    const middle = mean(values);
    return mean(values.map((v) => (v - middle) * (v - middle))) > most * middle * (most * middle);
  };
  const numbers = (count) => [...Array(count).keys()];
  const up = (values) => [...values].sort((a, b) => a - b);
  const hasLonger = (rows, places) => {
    const means = places.map((place) => mean(rows.map((row) => row[place])));
    return means.length > 1 && means.some((each, number) => {
      const rest = mean(means.filter((_, i) => i !== number));
      const weight = rows.length * (means.length - 1) / means.length;
      return each > rest && (each - rest) * (each - rest) * weight > .6 * rest * (.6 * rest);
    });
  };
  const rowsOf = (values, size) => numbers(Math.floor(values.length / size))
    .map((i) => values.slice(i * size, i * size + size));

  const settled = (ordered, means) => {
    for (let turn = 0; turn < 30; turn++) {
      const borders = means.slice(1).map((high, i) => border(means[i], high));
      const parts = means.map(() => []);
      for (const value of ordered) parts[borders.filter((each) => value > each).length].push(value);
      const before = means;
      means = parts.filter((part) => part.length).map(mean);
      if (String(means) === String(before)) break;
    }
    return means;
  };
  const apart = (ordered, start, least) => {
    const means = settled(ordered, start);
    const i = means.findIndex((low, k) => means[k + 1] < (k ? 1.6 : least) * low);
    return i < 0 ? means : apart(ordered,
      [...means.slice(0, i), (means[i] + means[i + 1]) / 2, ...means.slice(i + 2)], 1.6);
  };
  const levelsOf = (ordered) => {
    const two = apart(ordered, [ordered[Math.floor(ordered.length / 6)], ordered.at(-1)], 1.6);
    if (two.length === 1) return two;
    const upper = ordered.filter((dark) => dark > border(...two));
    if (5 * (ordered.length - upper.length) < ordered.length) return [mean(ordered)];
    const high = apart(upper, [upper[0], upper.at(-1)], 1.6);
    return high.length === 1 ? two : apart(ordered, [two[0], ...high], 1.65);
  };

  const dashes = (word) => word.split('-').length - 1;
  const size = (word) => word.length - dashes(word);
  const lengthOf = (word, span) => span.length - 1 + span.reduce((total, each) =>
    total + size(each.word) + Math.max(0, dashes(each.word) - dashes(word)), 0);
  const versionsOf = (word) => [word, ...numbers(word.length).filter((i) => word[i] !== '-')
    .map((i) => (word.slice(0, i) + word.slice(i + 1)).replace(/^-|-$/g, ''))];
  const spansOf = (word, rounds) => {
    const spans = [];
    for (const each of rounds) {
      const span = spans.at(-1);
      if (span?.at(-1).joins && lengthOf(word, [...span, each]) <= size(word)) span.push(each);
      else spans.push([each]);
    }
    return spans;
  };
  const explains = (word, rounds, isOpen) => {
    if (word === 'x' || dashes(word) > 1) return false;
    const versions = versionsOf(word);
    const short = word.indexOf('-') - 1;
    const isExplained = (span, i, { length }) => {
      const part = span[0].word;
      return span.length > 1 ||
        (!i ? versions.some((each) => each.endsWith(part))
          : isOpen && i === length - 1 ? versions.some((each) => each.startsWith(part))
          : versions.includes(part)) ||
        dashes(part) > dashes(word) && lengthOf(word, span) <= size(word);
    };
    return spansOf(word, rounds).every(isExplained) &&
      !hasLonger(rounds.filter((each) => size(each.word) === size(word)).map((each) => each.darks),
        numbers(size(word) - 1).filter((i) => i !== short));
  };
  const agreed = (rounds, isOpen) => {
    const whole = rounds.slice(1, isOpen ? -1 : undefined).map((each) => each.word);
    const found = [];
    let seen = whole.length;
    for (const word of [...new Set(whole)].sort()) {
      const agree = whole.filter((each) => each === word).length;
      const count = whole.length + (rounds[0].word === word);
      seen = Math.max(seen, count);
      if (agree > 1 && agree >= whole.length - agree && explains(word, rounds, isOpen)) {
        found.push({ word, count, agree });
      }
    }
    return { found, seen };
  };

  const isTurned = (pauses, most) => {
    const pairs = rowsOf(pauses, 2);
    if (pairs.length > 1 && hasLonger(pairs, [0, 1])) return true;
    const next = (i) => [pauses[i], pauses[i + 1]];
    const isUp = (i) => pauses[i] < pauses[i + 1];
    return pauses.length > 1 && Math.min(...pauses) < most &&
      numbers(pauses.length - 1).every((i) =>
        1.45 * Math.min(...next(i)) <= Math.max(...next(i)) && (!i || isUp(i - 1) !== isUp(i)));
  };

  const say = (pattern, rounds = 0, agree = 0, counts = [], letters = '') =>
    ({ pattern, counts, letters, rounds, agree });

  return (presses, until) => {
    let before = -Infinity;
    for (const [start, end] of presses) {
      if (!(Number.isFinite(start) && Number.isFinite(end) && start >= before && end >= start)) {
        throw new RangeError('a press is not finite, ends before it starts, or overlaps');
      }
      before = end;
    }
    const isWatched = until !== undefined;
    if (isWatched && !(Number.isFinite(until) && until >= before)) {
      throw new RangeError('the watch ends before the presses');
    }
    if (presses.length < 4) return say('too-little');
    const taps = presses.length;
    const holds = presses.map(([start, end]) => end - start);
    const darks = presses.slice(1).map(([start], i) => start - presses[i][1]);
    const steps = darks.map((dark, i) => holds[i] + dark);
    if (up(steps)[Math.floor(steps.length / 2)] < 320) {
      return say(taps < 8 ? 'too-little' : Math.max(...steps) <= 1250 ? 'rapid' : 'uncertain');
    }

    const lights = apart(up(holds), [325, 1250], 1.6);
    const hasLong = lights.length === 2 && lights[1] >= 700 && isUneven(holds, .22);
    const [shortHold, longHold] = hasLong ? lights : [mean(holds), mean(holds)];
    if (hasLong && (shortHold > 550 || longHold < 2 * shortHold)) return say('uncertain');
    const longFrom = hasLong ? border(shortHold, longHold) : 0;

    const levels = levelsOf(up(darks));
    const [low] = levels;
    const step = low + mean(holds);
    const isHeld = shortHold >= 200;
    const lowest = levels.length > 1 ? border(low, levels[1]) : Infinity;
    const inside = darks.filter((dark) => dark <= lowest);
    const isMissed = (dark) =>
      .65 * (2 * low + shortHold) <= dark && dark <= 1.4 * (2 * low + longHold);
    const isEven = () => !isUneven(inside, .22) && !numbers(9).some((i) => {
      const rows = rowsOf(inside, i + 2);
      return rows.length > 1 && hasLonger(rows, numbers(i + 2));
    });
    const isBeat = () => {
      const rows = [1];
      for (const dark of darks) {
        if (dark <= lowest) rows[rows.length - 1]++;
        else if (isMissed(dark)) rows.push(1);
        else return false;
      }
      return Math.max(...rows) > 11 && 16 * (rows.length - 1) <= taps;
    };
    if (!hasLong && step >= 2500 && low >= 1500) {
      const odd = darks.length - inside.length;
      return odd <= darks.filter(isMissed).length && 4 * odd <= darks.length && isEven()
        ? say('groups', taps, taps - odd, [1]) : say('uncertain', taps);
    }
    if (levels.length === 1 && taps < 16) return say('too-little');
    if (levels.length === 1 || isBeat()) {
      return say(!hasLong && 800 <= step && step <= 2150 && isEven() ? 'heartbeat' : 'uncertain');
    }
    if (step < 380) return say('uncertain');

    const ways = levels.length > 2 ? [[lowest, border(levels[1], levels[2])]] : [];
    const pauses = darks.filter((dark) => dark > lowest);
    if (!(!hasLong && isTurned(pauses, 2000 + (isHeld ? 0 : .6 * low)) || isUneven(pauses, .3))) {
      const one = border(low, mean(pauses));
      ways.push([one, one]);
    }
    let seen = 0;
    let found = [];
    for (const [group, pause] of ways) {
      const rounds = [];
      let now = { word: '', darks: [], joins: false };
      holds.forEach((hold, i) => {
        const dark = darks[i] ?? 0;
        now.word += !hasLong ? 'x' : hold > longFrom ? 'L' : 'S';
        if (dark > pause) {
          now.joins = isMissed(dark);
          rounds.push(now);
          now = { word: '', darks: [], joins: false };
        } else {
          now.darks.push(dark);
          if (dark > group) now.word += '-';
        }
      });
      rounds.push(now);
      const more = agreed(rounds, !(isWatched && until - before > pause));
      found = [...found, ...more.found];
      seen = Math.max(seen, more.seen);
    }
    if (new Set(found.map((each) => each.word)).size !== 1) {
      return say(seen >= 3 ? 'uncertain' : 'too-little', seen);
    }
    const { word, count, agree } = found.reduce((a, b) => b.agree > a.agree ? b : a);
    if (count < 3) return say('too-little', count, agree);
    const counts = word.split('-').map((part) => part.length);
    const isMixed = new Set(word).size > 1;
    if (Math.max(...counts) > 10 || hasLong && (counts.length > 1 || !isMixed)) {
      return say('uncertain', count, agree);
    }
    if (hasLong) return say('long-short', count, agree, [], word);
    if (word === 'xx') {
      if (levels[1] < 1.9 * low) return say('uncertain', count, agree);
      if (isHeld && low >= 1.8 * shortHold && low > 900) {
        return say('two-groups', count, agree, [1, 1]);
      }
      if (!(low + shortHold <= 1050 || isHeld && low <= 1.4 * shortHold)) {
        return say('uncertain', count, agree);
      }
    }
    return say(counts.length > 1 ? 'two-groups' : 'groups', count, agree, counts);
  };
})();
