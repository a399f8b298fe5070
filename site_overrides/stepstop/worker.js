/* Keeps the pages for a time without a network. The build puts the constant PLAN in front:

   edition   hash over the hashes of all files: the name of this edition's cache
   files     `stem.hash` of each file of pages, below offline/: the core, what is common, the rest
   places    first part of a page's name, or the whole name of a table of causes, or of what a call or an
             account says in another language, which may lie beside this root -> number of its file
   next      for each file, the numbers of those that its pages lead to
   apart     numbers of those that few need: tables of causes, what an agent's page has, and what an
             account needs in the company's language
   mark      what every page of this edition holds, or empty
   date      that of the edition, or empty

   An edition is taken whole or not at all, waits until no page of the old one is open, and then
   takes the place of the old one. A walk that began in it never leaves it: a folder is answered from
   the cache only once all that its pages lead to is there, too. */
'use strict';
const ROOT = new URL('./', location).href;
const OURS = 'stepstop ' + ROOT + ' ';
const NAME = OURS + PLAN.edition;
const PATIENCE = 2000;
const PAUSE = 3000;
const TYPES = { html: 'text/html', json: 'application/json', svg: 'image/svg+xml', js: 'text/javascript' };
const CORE = 0, COMMON = 1;
const SAVED = (PLAN.date ? _("This is the saved page of {date}.").replace('{date}', PLAN.date) :
  _("This is a saved page.")) + ' ' + _("The network gave no answer.");
const NOT_KEPT = _("No connection. This page is not kept on your phone.");

const wait = (time) => new Promise((done) => setTimeout(done, time));
const soon = (promise) => Promise.race([promise, wait(PATIENCE)]);
const urlOf = (file) => ROOT + 'offline/' + file + '.json';
const stemOf = (url) => url.slice((ROOT + 'offline/').length).replace(/\.\w+\.json$/, '');
const ours = async () => (await caches.keys()).filter((name) => name.startsWith(OURS));
const STALE = ROOT + 'offline/stale';

/* A name below the root as the pages are called; hosts leave out `index.html` or `.html`. A folder
   without its slash would give its links another meaning: it is not answered, but led on. */
const nameOf = (url) => decodeURI(new URL(url).pathname.slice(new URL(ROOT).pathname.length));
const spellings = (name) => [name, name + 'index.html', name + '.html'];
const PLACES = new Map(Object.entries(PLAN.places));
const fileOf = (name) => PLACES.get(name) ?? PLACES.get(name.split('/')[0]);
const tableOf = (name) => PLACES.get(name.split('/')[0] + '/likely.js');
const APART = new Set(PLAN.apart);
const BESIDE = new Map([...PLACES.keys()].filter((name) => name.startsWith('../'))
  .map((name) => [new URL(name, ROOT).href, name]));

/* Fetching a file of pages: what it holds must be what its name says, else it is not taken. */
const fetched = async (file) => {
  const answer = await fetch(urlOf(file), { priority: 'low' });
  if (!answer.ok) throw new Error(answer.status + ' for ' + file);
  const bytes = await answer.clone().arrayBuffer();
  const digest = new Uint8Array(await crypto.subtle.digest('SHA-256', bytes));
  const hash = [...digest].map((byte) => byte.toString(16).padStart(2, '0')).join('');
  if (!hash.startsWith(file.split('.').pop())) throw new Error('other content in ' + file);
  return answer;
};

/* Install: the core, and what walks need that the edition before had kept; one failure, and nothing
   is changed. */
const install = async () => {
  const old = new Set();
  for (const name of await ours()) {
    for (const request of await (await caches.open(name)).keys()) old.add(stemOf(request.url));
  }
  const known = [...PLAN.files.keys()].filter((number) => old.has(stemOf(urlOf(PLAN.files[number]))));
  const wanted = new Set([CORE, ...known.filter((number) => number !== CORE).flatMap(needs)]);
  const taken = await Promise.all([...wanted].map(async (number) => {
    const file = PLAN.files[number], url = urlOf(file);
    return [url, await caches.match(url) || await fetched(file)];
  }));
  const isNew = !await caches.has(NAME);
  try {
    const cache = await caches.open(NAME);
    await Promise.all(taken.map(([url, answer]) => cache.put(url, answer)));
  } catch (error) {
    if (isNew) await caches.delete(NAME);
    throw error;
  }
};

const activate = async () => {
  for (const name of await ours()) if (name !== NAME) await caches.delete(name);
};

/* The pages of a file: a list of pieces, and for each page the numbers of its pieces. */
const read = {};
const pagesIn = (number) => read[number] ??= (async () => {
  const cache = await caches.open(NAME);
  const answer = await cache.match(urlOf(PLAN.files[number]));
  if (!answer) throw new Error('not kept: ' + PLAN.files[number]);
  return answer.json();
})().catch((error) => { delete read[number]; throw error; });

const kept = async (number, names) => {
  const { pages, pieces } = await pagesIn(number);
  const name = names.find((each) => Object.hasOwn(pages, each));
  if (name === undefined) return null;
  const before = number > COMMON ? (await pagesIn(COMMON)).pieces : [];
  const text = pages[name].map((n) => n < before.length ? before[n] : pieces[n - before.length]).join('\n');
  return { name, text };
};

const shown = ({ name, text }, sentence = '', status = 200) => {
  const said = text.replace(/(<p id="offline"[^>]*>)/, (start) => start + sentence);
  const type = TYPES[name.split('.').pop()] || 'text/plain';
  return new Response(said, { status, headers: { 'Content-Type': type + '; charset=utf-8' } });
};

/* Everything that the pages of a file lead to, the nearest first. */
const needs = (number) => {
  const found = [COMMON, number];
  for (const each of found) found.push(...PLAN.next[each].filter((next) => !found.includes(next)));
  return [...new Set(found)];
};
const whole = new Set();
const isWhole = async (number) => {
  if (whole.has(number)) return true;
  const cache = await caches.open(NAME);
  for (const each of needs(number)) if (!await cache.match(urlOf(PLAN.files[each]))) return false;
  whole.add(number);
  return true;
};

/* The host has shown another edition: no more of this one is taken, and half of it is not used. */
const isStale = async () => Boolean(await (await caches.open(NAME)).match(STALE));
const setStale = async () => (await caches.open(NAME)).put(STALE, new Response(''));

const lean = async () => {
  const { name, text } = await kept(CORE, ['~/404.html']);
  return shown({ name, text: text.replaceAll('/~/', new URL(ROOT).pathname) }, NOT_KEPT, 503);
};

const dangerous = async (request, found) => {
  const answer = await soon((async () => {
    const answer = await fetch(request);
    return answer.ok ? new Response(await answer.blob(), { headers: answer.headers })
      : answer.type === 'opaqueredirect' ? answer : null;
  })().catch(() => null));
  return answer || shown(found, SAVED);
};

/* A page of ours that is not kept with all that follows it: nothing else is fetched meanwhile. */
let asking = 0;
const partly = async (request, names, number) => {
  asking += 1;
  const asked = fetch(request).then(async (answer) => {
    const text = answer.ok ? await answer.clone().text() : '';
    if (text.includes('id="offline"') && !text.includes(PLAN.mark)) await setStale();
    return answer.status < 500 ? answer : null;
  }).catch(() => null).finally(() => { asking -= 1; });
  const answer = await soon(asked);
  if (answer) return answer;
  const found = await isStale() ? null : await kept(number, names).catch(() => null);
  return found ? shown(found) : await asked || lean();
};

const answer = async (request, names, number) => {
  const core = await kept(CORE, names);
  if (core) return (await pagesIn(CORE)).danger.includes(core.name) ? dangerous(request, core) : shown(core);
  const first = names[0] + '/index.html';
  if (await kept(CORE, [first]) || number > COMMON && !/[./]/.test(names[0])) {
    return Response.redirect(ROOT + encodeURI(names[0]) + '/');
  }
  if (number === undefined) return fetch(request).catch(lean);
  const found = await isWhole(number) && await kept(number, names);
  return found ? shown(found) : partly(request, names, number);
};

const respond = (event) => {
  const { request } = event, beside = BESIDE.get(request.url);
  if (request.method !== 'GET' || !(beside || request.url.startsWith(ROOT))) return;
  const name = beside || nameOf(request.url), number = fileOf(name);
  const isPage = request.mode === 'navigate';
  if (!isPage && number === undefined) return;
  const names = isPage ? spellings(name) : [name];
  event.respondWith(answer(request, names, number).catch(() => fetch(request)));
};

/* A page is open: first all that it may lead to, with the table of causes of its complaint; then, slowly
   and unless data are dear, its account in the company's language, and the rest but for what few need. */
const taking = {};
const take = async (number) => {
  const cache = await caches.open(NAME), file = PLAN.files[number];
  if (await cache.match(urlOf(file))) return;
  await cache.put(urlOf(file), await fetched(file));
};
const once = (number) => taking[number] ??= take(number).finally(() => delete taking[number]);
let turns = 0;
const gather = async (url) => {
  const turn = ++turns, name = nameOf(url), number = fileOf(name);
  if (await isStale()) return;
  const wanted = number === undefined || await kept(CORE, spellings(name)) ? [] : needs(number);
  if (wanted.length && tableOf(name)) wanted.push(tableOf(name));
  for (let each = 0; each < wanted.length; each += 2) {
    while (asking) await wait(PAUSE / 10);
    await Promise.all(wanted.slice(each, each + 2).map(once));
  }
  const line = navigator.connection || {};
  if (line.saveData || /2g/.test(line.effectiveType)) return;
  const theirs = wanted.length ? ['../trail.js', '../' + name.split('/')[0] + '/likely.js'] : [];
  const rest = [...PLAN.files.keys()].filter((number) => !APART.has(number));
  for (const each of [...theirs.map((file) => PLACES.get(file)), ...rest]) {
    if (each === undefined || await caches.match(urlOf(PLAN.files[each]))) continue;
    await wait(PAUSE);
    if (turn !== turns) return;
    await once(each);
  }
};

addEventListener('install', (event) => event.waitUntil(install()));
addEventListener('activate', (event) => event.waitUntil(activate()));
addEventListener('fetch', respond);
addEventListener('message', (event) => event.waitUntil(gather(event.source.url).catch(() => {})));
