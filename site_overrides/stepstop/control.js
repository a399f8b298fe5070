/* The control circuit, reckoned for one's own figures. */
(() => {
  'use strict';
  const at = (id) => document.getElementById(id);
  const word = (name) => at('said').content.querySelector('[data-w=' + name + ']').textContent;
  const LIMITS = {
    'load-rating': [1, 1000], 'wire-feet': [0, 2000], 'wire-celsius': [-40, 120], 'wire-va': [.1, 100],
    'short-rating': [1, 1000], 'short-regulation': [1, 100], 'short-feet': [0, 2000], 'short-celsius': [-40, 120],
    'short-fuse': [.1, 30],
  };
  const NUMBER = /^[-\u2212]?\d{1,5}([.,]\d{0,4})?$/;
  const tell = (id, why) => {
    at(id + '-wrong').textContent = why;
    at(id).setAttribute('aria-invalid', why ? 'true' : 'false');
  };
  const valued = (text) => Number(text.replace('\u2212', '-').replace(',', '.'));
  /* The number in a field, or null with what is wrong beside it. */
  const read = (id) => {
    const text = at(id).value.trim(), [least, most] = LIMITS[id];
    const value = NUMBER.test(text) ? valued(text) : null;
    const is = value !== null && value >= least && value <= most;
    tell(id, is ? '' : value === null ? word('number') : word('from') + ' ' + least + ' ' + word('to') + ' ' + most + '.');
    return is ? value : null;
  };
  const readLoads = () => {
    const parts = at('loads').value.split(/[\s+;]+/).filter(Boolean);
    const is = parts.length > 0 && parts.every((each) => NUMBER.test(each) && valued(each) >= 0);
    tell('loads', is ? '' : word('number'));
    return is ? parts.map(valued) : null;
  };
  /* As `seconds` in pages/control.py has it. */
  const figures = (value) => String(Number(value.toPrecision(2)));
  const time = (value) => value < 90 ? figures(value) + ' s'
    : value < 5400 ? figures(value / 60) + ' min' : Math.round(value / 3600) + ' h';

  const load = () => {
    const rating = read('load-rating'), loads = readLoads();
    if (rating === null || !loads) return '';
    const total = loads.reduce((a, b) => a + b, 0), left = rating - total;
    const share = Math.round(total / rating * 100);
    return total + ' ' + word('load') + ' ' + (total / 24).toFixed(2) + ' A, ' + share + ' % ' + word('of') + ' ' +
      Number(Math.abs(left).toFixed(2)) + ' ' + word(left < 0 ? 'over' : 'left');
  };
  const wire = () => {
    const [feet, celsius, va] = ['wire-feet', 'wire-celsius', 'wire-va'].map(read);
    if ([feet, celsius, va].includes(null)) return '';
    const gauge = Number(at('wire-gauge').value), [amperes, volts] = reckoning.atCoil(va, gauge, feet, celsius);
    return reckoning.loop(gauge, feet, celsius).toFixed(3) + ' ' + word('loop') + ' ' + volts.toFixed(2) + ' ' + word('coil') + ' ' +
      amperes.toFixed(3) + ' A; ' + (24 - volts).toFixed(2) + ' ' + word('lost');
  };
  const short = () => {
    const names = ['rating', 'regulation', 'feet', 'celsius', 'fuse'].map((name) => 'short-' + name);
    const [rating, regulation, feet, celsius, fuse] = names.map(read);
    if ([rating, regulation, feet, celsius, fuse].includes(null)) return '';
    const amperes = reckoning.shortCircuit(rating, regulation / 100, Number(at('short-gauge').value), feet, celsius);
    const [least, most] = reckoning.opens(amperes, fuse);
    if (least === Infinity) return amperes.toFixed(2) + ' ' + word('never');
    return amperes.toFixed(2) + ' ' + word('short') + ' ' + time(least) + ' ' +
      (most === Infinity ? word('or-never') : word('to') + ' ' + time(most)) + '.';
  };
  for (const [id, found] of Object.entries({ load, wire, short })) {
    const show = () => { at(id + '-result').textContent = found(); };
    at(id).addEventListener('input', show);
    at(id).hidden = false;
    show();
  }
})();
