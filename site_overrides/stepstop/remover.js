/* Takes the place of a worker that is no longer wanted: removes what was kept, then itself. */
'use strict';
const OURS = 'stepstop ' + new URL('./', location).href + ' ';
addEventListener('install', () => skipWaiting());
addEventListener('activate', (event) => event.waitUntil((async () => {
  for (const name of await caches.keys()) if (name.startsWith(OURS)) await caches.delete(name);
  await registration.unregister();
})()));
