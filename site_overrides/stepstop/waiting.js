/* How long people can wait, reckoned for one's own house: what is typed stays in this page. */
(() => {
  'use strict';
  const at = (id) => document.getElementById(id);
  const word = (name) => at('said').content.querySelector('[data-w=' + name + ']').textContent;
  const section = at('reckon'), { kind, base, calm, raised } = section.dataset;
  const MEASURED = [15, 55], DAY = 24;
  const [LEFT, RIGHT, TOP, BOTTOM] = [44, 350, 10, 172];
  const made = (tag, text, className = '') => Object.assign(document.createElement(tag), { textContent: text, className });

  /* ---- numbers in, numbers out ---- */

  const unit = () => at('unit').value;
  const degree = (value) => unit() === 'C' ? value * 9 / 5 + 32 : value;
  const plain = (value) => value;
  const metres = (value) => unit() === 'C' ? value : value * .09290304;
  const NUMBER = /^[-\u2212\u2013]?(\d{1,6})([.,]\d{0,4})?$/;
  const LIMITS = {
    room: [0, 120, degree, 'room-range'], earlier: [0, 120, degree, 'room-range'],
    out: [-80, 130, degree, 'out-range'], low: [-80, 130, degree, 'out-range'],
    until: [1, 24, plain, 'until-range'], ago: [1, 48, plain, 'ago-range'],
    area: [9.2, 1900, metres, 'area-range'], humidity: [0, 100, plain, 'humidity-range'],
  };
  /* The number in a field in the units of the reckoning, null where it is empty; else it says what is wrong. */
  const read = (id, wrong, needed) => {
    const field = at(id), text = field.value.replace(/[\s\u00b0%]|[FC]$/gi, '');
    const [least, most, turned, says] = LIMITS[id];
    let value = null, why = '';
    if (!text) why = needed ? word('needed') : '';
    else if (!NUMBER.test(text)) why = word('number');
    else {
      value = turned(Number(text.replace(/[\u2212\u2013]/, '-').replace(',', '.')));
      if (value < least || value > most) [value, why] = [null, word(says)];
    }
    at(id + '-wrong').textContent = why;
    field.setAttribute('aria-invalid', why ? 'true' : 'false');
    if (why) wrong.push(field);
    return value;
  };
  /* As `Tongue.apart`: it keeps its order where text is right to left. */
  const apart = (text) => document.dir === 'rtl' ? '\u2068' + text + '\u2069' : text;
  const signed = (value) => String(value).replace('-', '\u2212');
  const degrees = (f) => {
    const both = [signed(Number(f.toPrecision(6))) + ' °F', signed(Math.round((f - 32) * 5 / 9)) + ' °C'];
    const [one, other] = unit() === 'F' ? both : both.reverse();
    return apart(one + ' (' + other + ')');
  };
  /* 41 to 55 °F (5 to 13 °C) */
  const between = (a, b) => {
    if (a === b) return degrees(a);
    const both = [[a, b], [a, b].map((f) => Math.round((f - 32) * 5 / 9))].map(([one, other], i) =>
      one === other ? apart(signed(one) + ' °' + 'FC'[i])
        : put(_("{least} to {most}"), { least: apart(signed(one)), most: apart(signed(other) + ' °' + 'FC'[i]) }));
    const [one, other] = unit() === 'F' ? both : both.reverse();
    return one + ' (' + other + ')';
  };
  const rounded = (f) => degrees(Math.round(f));
  /* As `hours` in pages/waiting.py has it, by the same phrases. */
  const hours = ([first, last]) => {
    if (last <= 0) return _("it is so now");
    if (first === Infinity) return _("not at this temperature");
    const least = Math.floor(first), most = Math.min(last, 1e6);
    if (least > 3 * DAY) return _("in more than 3 days");
    if (most > 3 * DAY) {
      return put(least ? _("in {least} hours to some days") : _("in less than 1 hour to some days"), { least });
    }
    const end = Math.max(Math.floor(most), 1);
    if (end <= Math.max(least, 1)) {
      return end > 1 ? put(_("in about {hours} hours"), { hours: end }) : _("in about an hour");
    }
    return put(least ? _("in {least} to {most} hours") : _("in less than 1 hour to {most} hours"), { least, most: end });
  };

  /* ---- the plot ---- */

  const x = (time) => LEFT + (RIGHT - LEFT) * time / DAY;
  const reach = (start, outdoors, span) => [
    10 * Math.floor(Math.min(reckoning.indoors(DAY, start, outdoors, span[0]), 50) / 10),
    10 * Math.ceil((start + 1) / 10),
  ];
  const y = (here, [low, high]) => BOTTOM - (BOTTOM - TOP) * (here - low) / (high - low);
  const band = (start, outdoors, [least, most], edges) => {
    const times = [...Array(DAY + 1).keys()];
    const point = (constant) => (time) => x(time).toFixed(1) + ' ' +
      y(reckoning.indoors(time, start, outdoors, constant), edges).toFixed(1);
    return 'M' + [...times.map(point(most)), ...times.reverse().map(point(least))].join('L') + 'Z';
  };
  const element = (tag, also, text = '') => {
    const found = document.createElementNS(at('band').namespaceURI, tag);
    for (const [name, value] of Object.entries(also)) found.setAttribute(name, value);
    found.textContent = text;
    return found;
  };
  const draw = (start, outdoors, span, says) => {
    const edges = reach(start, outdoors, span);
    at('band').setAttribute('d', band(start, outdoors, span, edges));
    at('marks').replaceChildren(...lines().filter(([line]) => edges[0] < line && line < edges[1]).flatMap(([line], i) => {
      const height = y(line, edges).toFixed(1);
      return [element('line', { x1: LEFT, x2: RIGHT, y1: height, y2: height }),
        element('text', { x: [RIGHT, 250][i % 2], y: (height - 3).toFixed(1), 'text-anchor': 'end' }, degrees(line))];
    }));
    at('plot-about').textContent = at('plot-said').textContent = says;
  };

  /* ---- what comes of it ---- */

  const lines = () => [...document.querySelectorAll('#lines dt')].map((dt) =>
    [Number(dt.dataset.at), dt.nextElementSibling.textContent]);
  const listed = (texts) => {
    const list = document.createElement('ul');
    list.append(...texts.map((text) => made('li', text)));
    return list;
  };
  const soon = (id) => id && at('soon-' + id) ? [at('soon-' + id).content.cloneNode(true), made('p', word('say-so'))] : [];
  const constants = (room, out, values) => {
    const { earlier, ago, area } = values;
    if (earlier !== null && ago !== null) {
      const found = reckoning.measured(earlier, room, ago, out, unit() === 'C' ? 1.8 : 1);
      return typeof found === 'string' ? [MEASURED, word(found)] : [found, word('read')];
    }
    if (at('build').value && area !== null) {
      const found = reckoning.reckoned(at('build').value, at('insulation').value, area, Number(at('stories').value));
      return [reckoning.around(found), word('told')];
    }
    return [MEASURED, word('most')];
  };
  const cold = (wrong) => {
    const [room, out] = ['room', 'out'].map((id) => read(id, wrong, true));
    const values = {};
    for (const id of ['low', 'until', 'earlier', 'ago', 'area']) values[id] = read(id, wrong, false);
    if (wrong.length) return null;
    const low = values.low ?? out, outdoors = { now: out, low, hours: low < out ? values.until ?? 8 : 0 };
    const least = Math.min(low, out), risk = at('risk').value === 'yes';
    const [span, how] = constants(room, out, values);
    const reached = (line) => reckoning.spanUntil(line, room, outdoors, span);
    const urgency = reckoning.cold(room, risk, reached(reckoning.coldLine(risk)));
    const later = [2, 4, 8, 12, 24].map((time) => {
      const [a, b] = span.map((constant) => Math.round(reckoning.indoors(time, room, outdoors, constant)));
      return put(_("In {hours} hours: {degrees}"), { hours: time, degrees: between(a, b) });
    });
    draw(room, outdoors, span, how + ' ' + later[3]);
    return [urgency, [
      ...least >= room ? [made('p', word('warm'))] : [],
      made('p', how),
      listed(lines().map(([line, says]) => degrees(line) + ': ' + hours(reached(line)) + '. ' + says)),
      listed(later),
      ...least <= 20 ? [made('p', word('pipes'), 'pipes')] : [],
      made('p', word('no-promise')),
    ]];
  };
  const hot = (wrong) => {
    const room = read('room', wrong, true), humidity = read('humidity', wrong, false) ?? Number(at('damp').value);
    if (wrong.length) return null;
    const index = reckoning.heatIndex(room, humidity), over = lines().filter(([line]) => index >= line);
    const urgency = reckoning.hot(index, at('risk').value === 'yes');
    const most = over.length === lines().length;
    return [urgency, [
      made('p', put(
        most ? _("It feels like {degrees} or more (with a humidity of {damp} %).")
          : _("It feels like {degrees} (with a humidity of {damp} %)."),
        { degrees: most ? degrees(lines().at(-1)[0]) : rounded(index), damp: humidity },
      ) + ' ' + (over.length ? over.at(-1)[1] : word('none'))),
      ...most ? [made('p', word('leave'))] : [],
      ...room > 90 ? [made('p', word('fan'))] : [],
      made('p', word('no-promise')),
    ]];
  };

  /* ---- back to the end of the walk, maybe marked as urgent ---- */

  const load = loaderOf(base);
  const follow = async () => {
    const { trail: data } = await load('trail.js');
    const ways = waysOf(data), trail = ways.readLink(location.hash);
    const link = (each) => base + ways.address(ways.follow(each).page) + ways.link(each);
    const sooner = trail.words.map((each, i) => each === calm ? trail.words.map((w, j) => i === j ? raised : w) : null)
      .filter(Boolean).map((words) => ({ ...trail, words }));
    return [link(trail), sooner.flatMap((each) => {
      try {
        return [link(each)];
      } catch (error) {
        if (!(error instanceof RangeError)) throw error;
        return [];
      }
    })[0]];
  };
  let back = Promise.resolve([]);
  if (/^#on=/.test(location.hash)) {
    back = follow().catch(() => []);
    back.then(([to]) => {
      if (!to) return;
      at('return').hidden = false;
      at('return').firstElementChild.setAttribute('href', to);
    });
  }
  const raise = async (urgency) => {
    const [, sooner] = await back;
    if (urgency !== 'tonight' || !sooner) return;
    const line = made('p', '', 'copy'), link = made('a', word('raise'));
    link.setAttribute('href', sooner);
    line.append(link);
    at('result').append(line);
  };

  const go = () => {
    const wrong = [], found = (kind === 'cold' ? cold : hot)(wrong);
    if (!found) {
      at('result').replaceChildren();
      wrong[0].focus();
      return;
    }
    const [urgency, content] = found;
    at('result').replaceChildren(...soon(urgency), ...content);
    raise(urgency);
  };
  at('go').addEventListener('click', go);
  section.addEventListener('keydown', (event) => {
    if (event.key === 'Enter' && event.target.matches('input')) go();
  });
  at('unit').addEventListener('change', () => { if (at('result').firstChild) go(); });
  at('own').hidden = false;
})();
