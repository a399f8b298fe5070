/* The notes of a call, in a dispatcher's order: as text to paste, and as JSON by call-notes.schema.json.
   `call` has what was said; `word` has the words, `account` what account.js says of causes. */
const notingOf = (word, account, edition) => {
  'use strict';
  const FORMAT = 'stepstop-call-notes', VERSION = 1;
  const iso = (time) => new Date(time).toISOString().replace(/\.\d+Z$/, 'Z');
  const local = (time) => account.clock(Math.floor(time / 60000));
  const minutes = (call) => Math.max(1, Math.round((call.ended - call.began) / 60000));
  const quoted = (text) => '“' + text + '”';
  const yesOrNo = (value) => value === null ? word('not-known') : word(value ? 'yes' : 'no');

  /* One line an answer with words of its own. */
  const raw = (entries) => entries.filter(({ raw: said }) => said)
    .map(({ question, answer, raw: said }) => question + ' ' + quoted(said) + ' → ' + answer);
  const text = (call) => {
    const { told, end, found, facts } = call;
    const line = (name, value) => value ? [word(name) + ' ' + value] : [];
    return account.asText([
      ['', [
        word('title') + ' · ' + local(call.began) + ' · ' + word('lasted') + ' ' + minutes(call) + ' ' +
          word(minutes(call) === 1 ? 'minute' : 'minutes'),
        ...call.danger.map(({ at, said }) => word('danger') + ' ' + said + ' · ' + local(at)),
        ...line('left', end && end.left),
        ...line('stop', end ? end.title : word('early')),
        ...line('soon', end && end.soon && end.soon[0]),
        ...line('who-comes', end && end.who),
      ]],
      [word('who-where'), [
        ...line('number', facts.number), ...line('name', facts.name), ...line('address', facts.address),
        word('there') + ' ' + yesOrNo(facts.there),
        ...facts.speaks ? [word('speaks') + ' ' + facts.speaks.name] : [],
      ]],
      [word('own'), facts.words ? [quoted(facts.words)] : []],
      ['', [
        ...line('fails', told && told.fails),
        ...line('most', found && found.causes.length && account.mostLikely(found)),
        ...line('code', call.code),
      ]],
      ...told ? told.parts : [],
      [word('per-answer'), raw(call.entries)],
      [word('tried'), told ? told.tried : []],
      [word('causes'), account.likelyLines(found)],
      [word('missing'), told && told.missing.length ? [told.missing.join(', ')] : []],
      [word('taken-back'), call.dropped.map(({ question, answer }) => question + ' → ' + answer)],
      [word('cards'), call.cards.map(({ at, name }) => local(at) + ' ' + name)],
      [word('pages'), [edition]],
    ]);
  };

  const answer = ({ question, answer: chosen, raw: said, at }) =>
    ({ question, answer: chosen, words: said || '', at: iso(at) });
  const data = (call) => {
    const { told, end, found, facts } = call;
    return {
      format: FORMAT,
      version: VERSION,
      edition,
      began: iso(call.began),
      ended: iso(call.ended),
      danger: call.danger.map(({ at, said }) => ({ at: iso(at), said })),
      caller: {
        number: facts.number, name: facts.name, address: facts.address,
        'at-the-house': facts.there, words: facts.words,
        ...facts.speaks ? { speaks: facts.speaks.code } : {},
      },
      complaint: call.complaint,
      fails: told ? told.fails : '',
      end: end && {
        kind: end.kind, title: end.title, urgency: end.soon ? end.soon[0] : '',
        left: end.left || '', who: end.who || '',
      },
      code: call.code,
      answers: call.entries.map(answer),
      findings: told ? told.parts.map(([part, lines]) => ({ part, lines })) : [],
      tried: told ? told.tried : [],
      causes: found ? found.causes.map(({ name, how, supports, contradicts, bring, root, who }) =>
        ({ name, how, supports, contradicts, bring, root, 'mended-by': who })) : [],
      'not-asked': told ? told.missing : [],
      'taken-back': call.dropped.map(answer),
      happened: call.cards.map(({ at, name }) => ({ at: iso(at), name })),
    };
  };
  return { text, json: (call) => JSON.stringify(data(call), null, 2) };
};
