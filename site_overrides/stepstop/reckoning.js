/* The arithmetic of waiting and of the control circuit, as waiting/*.py states it. °F, hours, V, A, VA, ohm, feet. */
const reckoning = (() => {
  'use strict';
  const STEP = .25, DOUBT = 1.5, SLOWEST = 200, LEAST_DROP = 4, LEAST_HOURS = 3;
  const CAPACITY = { 'very-light': 8e4, light: 1.1e5, medium: 1.65e5, heavy: 2.6e5, 'very-heavy': 3.7e5 };
  const ENVELOPE = { good: [.3, .3], usual: [.45, .5], poor: [.7, 1] };
  const { cos, exp, log, max, min, sqrt, abs, PI } = Math;

  /* ---- a house that cools ---- */

  const outdoorsAt = ({ now, low, hours }, time) => !(hours > 0) || low >= now ? now
    : low + (now - low) * (1 + cos(PI * min(1, max(0, time) / hours))) / 2;
  const indoors = (time, start, outdoors, constant) => {
    let here = start, passed = 0;
    while (passed < time) {
      const step = min(STEP, time - passed), out = outdoorsAt(outdoors, passed + step / 2);
      here = out + (here - out) * exp(-step / constant);
      passed += step;
    }
    return here;
  };
  const hoursUntil = (line, start, outdoors, constant) => {
    if (start <= line) return 0;
    let here = start, passed = 0;
    while (outdoors.hours > passed) {
      const out = outdoorsAt(outdoors, passed + STEP / 2), after = out + (here - out) * exp(-STEP / constant);
      if (after <= line) return passed + constant * log((here - out) / (line - out));
      here = after;
      passed += STEP;
    }
    const out = outdoorsAt(outdoors, passed);
    return line <= out || here <= out ? Infinity : passed + constant * log((here - out) / (line - out));
  };
  const spanUntil = (line, start, outdoors, [least, most]) =>
    [hoursUntil(line, start, outdoors, least), hoursUntil(line, start, outdoors, most)];
  const reckoned = (build, insulation, area, stories) => {
    const [u, changes] = ENVELOPE[insulation], ground = area / stories;
    const loss = u * (2 * ground + 4 * sqrt(ground) * 2.5 * stories) + .33 * changes * area * 2.5;
    return CAPACITY[build] * area / (3600 * loss);
  };
  const around = (constant) => [constant / DOUBT, constant * DOUBT];
  /* The span of time constants that fit two readings, or why they tell nothing. */
  const measured = (first, second, hours, out, display) => {
    const half = display / 2, drop = first - second;
    if (!(hours > 0) || drop < LEAST_DROP && hours < LEAST_HOURS) return 'wait';
    if (second - half <= out) return 'outdoors';
    if (drop <= 0) return 'no-drop';
    const least = hours / log((first + half - out) / (second - half - out));
    const most = drop <= display ? SLOWEST : hours / log((first - half - out) / (second + half - out));
    return [min(least, SLOWEST), min(most, SLOWEST)];
  };

  /* ---- how hot it feels ---- */

  const heatIndex = (t, r) => {
    const low = .5 * (t + 61 + (t - 68) * 1.2 + r * .094);
    if (low < 80) return low;
    let found = -42.379 + 2.04901523 * t + 10.14333127 * r - .22475541 * t * r - .00683783 * t * t -
      .05481717 * r * r + .00122874 * t * t * r + .00085282 * t * r * r - .00000199 * t * t * r * r;
    if (r < 13 && t >= 80 && t <= 112) found -= (13 - r) / 4 * sqrt((17 - abs(t - 95)) / 17);
    if (r > 85 && t >= 80 && t <= 87) found += (r - 85) / 10 * (87 - t) / 5;
    return found;
  };

  /* ---- how soon ---- */

  const cold = (inside, atRisk, [least]) =>
    inside < (atRisk ? 65 : 60) || least <= 12 ? 'tonight' : least <= 24 ? 'today' : '';
  const hot = (index, atRisk) => index >= (atRisk ? 90 : 103) ? 'tonight' : index >= 90 ? 'today' : '';
  const coldLine = (atRisk) => atRisk ? 65 : 60;

  /* ---- the control circuit ---- */

  const NOMINAL = 24;
  const GATES = [[1.1, 36e4, Infinity], [1.35, .75, 600], [1.6, .25, 50], [2, .15, 5], [3.5, .04, .5], [6, .02, .1]];
  const ohmsPerKilofoot = (gauge, celsius) => {
    const metres = .127e-3 * 92 ** ((36 - gauge) / 39);
    return 1000 * .3048 / (58e6 * (PI * metres * metres / 4)) * (1 + .00393 * (celsius - 20));
  };
  const loop = (gauge, feet, celsius) => ohmsPerKilofoot(gauge, celsius) * 2 * feet / 1000;
  const atCoil = (va, gauge, feet, celsius) => {
    const coil = NOMINAL * NOMINAL / va, amperes = NOMINAL / (coil + loop(gauge, feet, celsius));
    return [amperes, amperes * coil];
  };
  const shortCircuit = (rating, regulation, gauge, feet, celsius) =>
    NOMINAL * (1 + regulation) / (regulation * NOMINAL * NOMINAL / rating + loop(gauge, feet, celsius));
  const between = (a, b, share) => a === Infinity ? Infinity : exp(log(a) + share * (log(b) - log(a)));
  const opens = (amperes, rating) => {
    const ratio = amperes / rating;
    if (ratio < GATES[0][0]) return [Infinity, Infinity];
    for (let i = 1; i < GATES.length; i++) {
      const [low, fast, slow] = GATES[i - 1], [high, faster, slower] = GATES[i];
      if (ratio < high) {
        const share = log(ratio / low) / log(high / low);
        return [between(fast, faster, share), between(slow, slower, share)];
      }
    }
    return GATES.at(-1).slice(1);
  };

  return {
    outdoorsAt, indoors, hoursUntil, spanUntil, reckoned, around, measured, heatIndex, cold, hot, coldLine,
    loop, atCoil, shortCircuit, opens,
  };
})();
