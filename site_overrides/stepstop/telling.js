/* What a trail tells a technician: `brief` of brief.py, over the data of trail.js. */
const briefOf = (data, followed) => {
  'use strict';
  const { trail, ways } = followed, { how } = data;
  const PEOPLE = 2, ELECTRICAL = 14, OTHER = data.titles.length - 1;
  const lines = data.titles.map(() => []);
  const tried = [];
  let danger = '', kind = '';
  const infer = (settled) => {
    for (let i = 0; i < settled.length; i += 2) {
      const [about, part, , values] = data.findings[settled[i]];
      lines[part].push(about + ': ' + values[settled[i + 1]][0] + ' [' + how.inferred + ']');
    }
  };
  for (const { answer, shape } of ways) {
    kind = data.trees[shape[2]][1] || kind;
    if (answer.length === 1) {
      lines[PEOPLE].push(data.health[answer[0]]);
      continue;
    }
    const [, number, said, ...chosen] = answer;
    const [about, part, isReading, values] = data.findings[number];
    const check = shape[4] < 0 ? null : data.checks[shape[4]];
    const why = data.unknown[chosen.map((value) => -1 - value).find((each) => each >= 0)];
    const known = why || (!isReading && shape[3] ? how.told : how.seen);
    const value = why ? '' : ': ' + chosen.map((each) => values[each][0]).join(how.or);
    const line = about + value + ' [' + known + '] “' + said + '”';
    lines[part].push(line);
    if (part === 0) {
      const picked = chosen.filter((each) => each >= 0).map((each) => values[each][0]).join(how.or);
      danger = (picked && picked + ' ') + '“' + said + '”';
    }
    const pairs = new Map();
    const settle = (settled) => {
      for (let i = 0; i < settled.length; i += 2) pairs.set(settled[i], settled[i + 1]);
    };
    if (check && !chosen.includes(-2)) settle(check[2]);
    if (chosen.length === 1 && !why) settle(values[chosen[0]][1]);
    infer([...pairs].flat());
    if (check) tried.push(check[0] + ': “' + said + '”');
  }
  data.once.forEach((about, i) => {
    if (trail.done >> i & 1) lines[ELECTRICAL].push(about + ' [' + how.done + ']');
  });
  const title = data.roots[trail.root][2];
  return {
    fails: kind ? title + ' (' + kind + ')' : title,
    danger,
    parts: data.titles.map((each, i) => [each, lines[i]]).filter(([, each]) => each.length),
    tried,
    missing: data.titles.filter((_, i) => !lines[i].length && i !== OTHER),
  };
};
