/* What an account of a walk says of causes and times: `word` has its words, in the language `lang`, or that of the page.
   Causes are ranked by the table that was loaded last, over the data of trail.js loaded last. */
const accountOf = (word, lang) => {
  'use strict';
  const LEAST = 2, MOST = 4, ENOUGH = .98, FAINT = .002, MISFIT = .5;
  const howLikely = (share) => word(share >= .5 ? 'very-likely' : share >= .15 ? 'likely' : 'possible');
  const picked = (chances) => {
    const found = [];
    let together = 0;
    for (const [number, share] of chances) {
      if (number < 0) continue;
      if (found.length === MOST || share < FAINT || (found.length >= LEAST && together >= ENOUGH)) break;
      found.push([number, share]);
      together += share;
    }
    return found;
  };
  const inWords = ([, finding, values]) => {
    const { findings, unknown, how } = self.stepstop.trail, [about, , , known] = findings[finding];
    return about + ': ' + (unknown[-1 - values[0]] || values.map((each) => known[each][0]).join(how.or));
  };
  const ranked = (ways) => {
    const table = self.stepstop.likely, ranking = rankingOf(table), trail = ranking.told(ways);
    const chances = ranking.chances(trail);
    const fits = (chances.find(([number]) => number < 0) || [0, 0])[1] < MISFIT;
    const causes = picked(chances).map(([number, share]) => {
      const [name, plain, bring, root, who] = table.causes[number];
      const reasons = ranking.reasons(trail, number);
      return {
        name, plain, bring, root, who, how: howLikely(share),
        supports: reasons.filter(([ratio]) => ratio > 1).slice(0, 3).map(inWords),
        contradicts: reasons.filter(([ratio]) => ratio < 1).slice(-2).map(inWords),
      };
    });
    return { fits, causes };
  };
  const mostLikely = ({ causes }) => causes.slice(0, 2)
    .map(({ name, how }) => name + ' (' + how + ')').join('; ');
  const likelyLines = (found) => found ? [
    ...found.fits ? [] : [word('misfit')],
    ...found.causes.flatMap(({ name, how, supports, contradicts, bring, root, who }, i) => [
      (i + 1) + '. ' + name + ' (' + how + ')',
      ...supports.length ? [word('for') + ' ' + supports.join('; ')] : [],
      ...contradicts.length ? [word('against') + ' ' + contradicts.join('; ')] : [],
      word('root') + ' ' + root,
      ...bring ? [word('bring') + ' ' + bring] : [],
      word('who') + ' ' + who,
    ]),
    word('else'),
  ] : [];
  const clock = (minutes) => minutes
    ? new Date(minutes * 60000).toLocaleString(lang || document.documentElement.lang,
      { dateStyle: 'short', timeStyle: 'short' }) : '';
  /* Plain text has no style sheet: where it runs from right to left, numbers with gaps or hyphens are
     isolated, or their groups would change places, and arrows turn round. */
  const inOrder = (text) => document.dir === 'rtl'
    ? text.replace(/[+(]?\d[\d ().-]*\d/g, '\u2066$&\u2069').replaceAll('\u2192', '\u2190') : text;
  /* Parts as text: [[heading or nothing, lines], ...]; those without a line are left out. */
  const asText = (parts) => inOrder(parts.filter(([, lines]) => lines.length)
    .map(([heading, lines]) => (heading ? heading.toUpperCase() + '\n' : '') + lines.join('\n'))
    .join('\n\n'));
  return { ranked, mostLikely, likelyLines, clock, asText, inOrder };
};
