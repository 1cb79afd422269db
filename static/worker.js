// A reload without a connection still shows the readings: this worker keeps the pages that the
// server allows to be kept (Archroom-Keep) and that this device has opened, with the files of this
// site that they name. The network always comes first, nothing else is kept, and all of it goes
// when a user signs out, when the sign-in page is shown, or when another user's page comes.
"use strict";

const PAGES = "archroom-pages-"; // followed by the user's number
const FILES = "archroom-files";
const WORDS = "archroom-words"; // what the pages below say, in the language of the page before
const KEEP = "Archroom-Keep"; // by the server: this user's pages may be kept on the device
const USER = "Archroom-User"; // by the server: whose page it is
const SEEN = "Archroom-Seen"; // by this worker: when the page came from the server
const MOST_PAGES = 20;
const OLD_AFTER_MS = 12 * 3600 * 1000;
const PATIENCE_MS = 8000;
const SIGN_IN = "/accounts/login/";
const SIGN_OUT = "/accounts/logout/";
const STATIC = "/static/";
const POLICY = "default-src 'none'; style-src 'self'; base-uri 'none'; frame-ancestors 'none'";

const ours = (name) => name === FILES || name.startsWith(PAGES);

// ---- Keeping and forgetting, one after the other: what is forgotten does not come back

let last = Promise.resolve();
const inTurn = (job) => {
  const done = last.then(job);
  last = done.catch(() => {}); // the caller hears of it
  return done;
};

const forget = async (spared) => {
  const names = (await caches.keys()).filter((name) => ours(name) && !spared.includes(name));
  await Promise.all(names.map((name) => caches.delete(name)));
};

const addressOf = (request) => {
  const url = new URL(request.url);
  url.hash = "";
  return url.href;
};

const filesNamedIn = (html) =>
  [...html.matchAll(/(?:href|src)="(\/static\/[^"]+)"/g)].map((found) => found[1]);

const keepFiles = async (html) => {
  const files = await caches.open(FILES);
  await Promise.all(
    filesNamedIn(html).map(async (path) => {
      if (await files.match(path)) return;
      const response = await fetch(path);
      if (response.ok) await files.put(path, response);
    }),
  );
};

const isOld = (response) => Date.now() - Date.parse(response.headers.get(SEEN)) > OLD_AFTER_MS;

// The pages of a user by their age, the oldest first.
const prune = async (pages) => {
  const rows = [];
  for (const request of await pages.keys()) {
    const response = await pages.match(request, { ignoreVary: true });
    if (response && isOld(response)) await pages.delete(request, { ignoreVary: true });
    else if (response) rows.push([response.headers.get(SEEN), request]);
  }
  rows.sort(([one], [two]) => (one < two ? -1 : 1));
  for (const [, request] of rows.slice(0, -MOST_PAGES)) await pages.delete(request, { ignoreVary: true });
};

const copyOf = (response, html, more) => {
  const headers = new Headers(response.headers);
  for (const name of ["Content-Encoding", "Content-Length", "Vary", "Set-Cookie"]) headers.delete(name);
  for (const [name, value] of Object.entries(more)) headers.set(name, value);
  return new Response(html, { status: 200, headers });
};

const keep = async (address, response) => {
  const html = await response.text();
  const name = PAGES + response.headers.get(USER);
  await forget([name, FILES]);
  const pages = await caches.open(name);
  await pages.put(address, copyOf(response, html, { [SEEN]: new Date().toISOString() }));
  await prune(pages);
  await keepFiles(html);
};

const drop = async (address) => {
  for (const name of (await caches.keys()).filter((each) => each.startsWith(PAGES))) {
    await (await caches.open(name)).delete(address, { ignoreVary: true });
  }
};

// Each response from the server says who is signed in now.
const learn = async (address, response) => {
  const user = response.headers.get(USER);
  if (user) await forget([PAGES + user, FILES]);
  else if (new URL(address).pathname === SIGN_IN) await forget([]);
  if (user && response.ok && response.headers.get(KEEP)) await keep(address, response);
};

// ---- Without a connection

const kept = async (address) => {
  for (const name of (await caches.keys()).filter((each) => each.startsWith(PAGES))) {
    const found = await (await caches.open(name)).match(address, { ignoreVary: true });
    if (found && !isOld(found)) return found;
  }
  return undefined;
};

const asLastSeen = async (response) => {
  const seen = response.headers.get(SEEN);
  return copyOf(response, (await response.text()).replace("<body", `<body data-seen="${seen}"`), {});
};

// Told by each page of the site (kept.js): nothing of a user's, so it stays.
const wordsAre = async (words) => {
  await (await caches.open(WORDS)).put("/", new Response(JSON.stringify(words)));
};

const words = async () => {
  const told = await (await caches.open(WORDS)).match("/");
  return told ? told.json() : undefined;
};

const escaped = (text) => text.replace(/[&<>"]/g, (sign) => `&#${sign.charCodeAt(0)};`);

const page = ({ lang, noConnection: title }, inside, sheets) =>
  new Response(
    `<!doctype html><html lang="${lang}"><head><meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1"><title>${escaped(title)}</title>
${sheets.map((path) => `<link rel="stylesheet" href="${path}">`).join("")}</head>
<body><div class="sheet"><main><h1 class="page-title">${escaped(title)}</h1>${inside}</main></div></body></html>`,
    { status: 503, headers: { "Content-Type": "text/html; charset=utf-8", "Content-Security-Policy": POLICY } },
  );

// What this device can still show; the browser's own words where that is nothing.
const instead = async () => {
  const lines = [];
  const sheets = new Set();
  for (const name of (await caches.keys()).filter((each) => each.startsWith(PAGES))) {
    const pages = await caches.open(name);
    for (const request of await pages.keys()) {
      const response = await pages.match(request, { ignoreVary: true });
      if (isOld(response)) continue;
      const html = await response.text();
      filesNamedIn(html).forEach((path) => path.endsWith(".css") && sheets.add(path));
      const title = /<title>([^<]*)</.exec(html);
      const url = new URL(request.url);
      const href = (url.pathname + url.search).replaceAll("&", "&amp;");
      lines.push(`<li><a href="${href}">${title ? title[1] : href}</a></li>`);
    }
  }
  const told = await words();
  if (!lines.length || !told) return Response.error();
  return page(told, `<p>${escaped(told.storedHere)}</p><ul>${lines.join("")}</ul>`, [...sheets]);
};

const signedOutHere = async () => {
  const told = await words();
  return told ? page(told, `<p>${escaped(told.removedHere)}</p>`, []) : Response.error();
};

// ---- Requests

const late = (ms) => new Promise((_, refuse) => setTimeout(() => refuse(new Error("late")), ms));

const navigate = async (event) => {
  const { request } = event;
  const address = addressOf(request);
  const fromServer = fetch(request);
  fromServer.catch(() => {}); // heard below, unless the copy was quicker
  const copy = request.method === "GET" ? await kept(address) : undefined;
  try {
    const response = await (copy ? Promise.race([fromServer, late(PATIENCE_MS)]) : fromServer);
    const read = response.clone();
    if (request.method === "GET") event.waitUntil(inTurn(() => learn(address, read)));
    else if (response.type === "opaqueredirect") event.waitUntil(inTurn(() => drop(address)));
    return response;
  } catch {
    const old = copy || (await kept(address)); // a form that was refused is the page again
    return old ? asLastSeen(old) : instead();
  }
};

const signs = async (request, isOut) => {
  await inTurn(() => forget([]));
  try {
    return await fetch(request);
  } catch {
    return isOut ? signedOutHere() : Response.error();
  }
};

// A form that was taken has done its work: the copy with its key must not be sent again.
const send = async (event) => {
  const response = await fetch(event.request);
  if (response.redirected) event.waitUntil(inTurn(() => drop(addressOf(event.request))));
  return response;
};

const file = async (request) => {
  try {
    return await fetch(request);
  } catch (lost) {
    const found = await (await caches.open(FILES)).match(request, { ignoreVary: true });
    if (found) return found;
    throw lost;
  }
};

addEventListener("fetch", (event) => {
  const { request } = event;
  const url = new URL(request.url);
  if (url.origin !== location.origin) return;
  if (request.method === "POST" && [SIGN_IN, SIGN_OUT].includes(url.pathname)) {
    event.respondWith(signs(request, url.pathname === SIGN_OUT));
  } else if (request.mode === "navigate") {
    event.respondWith(navigate(event));
  } else if (request.method === "POST") {
    event.respondWith(send(event));
  } else if (request.method === "GET" && url.pathname.startsWith(STATIC)) {
    event.respondWith(file(request));
  }
});

// The page that has brought this worker here came before it could see it.
addEventListener("message", (event) => {
  const { keep: address, words: told } = event.data || {};
  if (told) event.waitUntil(wordsAre(told));
  if (!address || new URL(address).origin !== location.origin) return;
  const learned = async () => {
    const response = await fetch(address);
    if (!response.redirected) await learn(address, response);
  };
  event.waitUntil(inTurn(learned).catch(() => {})); // it will be kept when it is opened again
});

addEventListener("install", () => skipWaiting());
addEventListener("activate", (event) => event.waitUntil(clients.claim()));
