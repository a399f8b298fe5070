/* Causes ranked after a trail: `Ranking` of ranking.py, over the table of a complaint.
   The same arithmetic; sums may be taken in another order, which differs in the last digits. */
const rankingOf = (table) => {
  'use strict';
  const ELSE_WEIGHT = .03, TELLING = 1.5, UNSURE = -1, NOT_DONE = -2;
  const numbers = (runs) => runs.split(' ').flatMap((run) => {
    const [number, many = 1] = run.split('*').map(Number);
    return Array(many).fill(number);
  });
  const dist = (flat) => {
    const found = new Map();
    for (let i = 0; i < flat.length; i += 2) found.set(flat[i], flat[i + 1]);
    return found;
  };
  const cause = numbers(table.cause);
  const weights = numbers(table.weight).map((number) => table.weights[number]);
  const kept = [];
  const which = (number) => {
    if (!kept[number]) {
      const [base, changed = base] = table.columns[number][3].split(':');
      const own = numbers(changed);
      const before = changed === base ? null : which(Number(base));
      kept[number] = before ? own.map((each, i) => each ? each - 1 : before[i]) : own;
    }
    return kept[number];
  };
  const chance = (found, values, [size, unsure, mistaken]) => {
    const at = (value) => found.get(value) || 0;
    const sure = 1 - (at(UNSURE) + at(NOT_DONE));
    let total = 0;
    for (const value of values) {
      if (value < 0) total += at(value) + (value === UNSURE ? unsure * sure : 0);
      else {
        const wrong = mistaken * (sure - at(value)) / Math.max(1, size - 1);
        total += (1 - unsure - mistaken) * at(value) + wrong;
      }
    }
    return total;
  };
  /* [[finding, values, column], ...] of what tells something of the house. */
  const told = (ways) => {
    let acts = 0;
    const found = [];
    for (const { answer, shape } of ways) {
      if (answer.length === 1) continue;
      const [, finding, , ...values] = answer;
      const moves = table.moves[shape[4]];
      const seen = moves ? moves[acts] : acts;
      const column = table.column[seen + ':' + finding];
      if (column !== undefined) found.push([finding, values, column]);
      if (!values.includes(NOT_DONE)) acts = seen;
    }
    return found;
  };
  const row = ([finding, values, column]) => {
    const [, mean, dists] = table.columns[column], rates = table.findings[finding];
    const each = dists.map((flat) => chance(dist(flat), values, rates));
    const other = .5 * chance(dist(mean), values, rates) + .5 * values.length / (rates[0] + 1);
    return { each: which(column).map((number) => each[number]), other };
  };
  /* Logarithms, since a product of many small chances would run out of digits. */
  const posterior = (trail) => {
    const logs = weights.map((weight) => Math.log(weight * (1 - ELSE_WEIGHT)));
    let other = Math.log(ELSE_WEIGHT);
    for (const answer of trail) {
      const found = row(answer);
      found.each.forEach((each, i) => { logs[i] += Math.log(each); });
      other += Math.log(found.other);
    }
    const best = Math.max(other, ...logs);
    const shares = [...logs, other].map((log) => Math.exp(log - best));
    const whole = shares.reduce((sum, share) => sum + share, 0);
    return shares.map((share) => share / whole);
  };
  /* [[number of a cause, chance], ...] the greatest first; the number of something else is -1. */
  const chances = (trail) => {
    const sums = new Map([[-1, 0]]);
    posterior(trail).forEach((share, i) => {
      const number = i < cause.length ? cause[i] : -1;
      sums.set(number, (sums.get(number) || 0) + share);
    });
    return [...sums].sort((a, b) => b[1] - a[1] || a[0] - b[0]);
  };
  /* Answers that speak for a cause or against it: [[ratio, finding, values], ...]. */
  const reasons = (trail, number) => {
    const after = posterior(trail);
    const mean = (each, share) => {
      let whole = 0, sum = 0;
      each.forEach((one, i) => {
        whole += share(i);
        sum += one * share(i);
      });
      return whole > 0 ? sum / whole : 0;
    };
    return trail.map((answer) => {
      const { each } = row(answer);
      const mine = mean(each, (i) => cause[i] === number ? after[i] : 0);
      const others = mean(each, (i) => cause[i] === number ? 0 : weights[i]);
      return [others > 0 ? mine / others : 1, answer[0], answer[1]];
    }).filter(([ratio]) => ratio >= TELLING || ratio <= 1 / TELLING)
      .sort((a, b) => b[0] - a[0]);
  };
  return { told, row, posterior, chances, reasons };
};
