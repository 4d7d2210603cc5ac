/* Photos wait in the browser until the server has them: #unsent lists them, form[data-keeps-photos] feeds it.
   One sending is one item with its own key, so that a lost answer makes no second entry. Another person's
   items stay untouched: what is sent bears the name of whoever is signed in. */
(() => {
  const shelf = document.getElementById("unsent");
  if (!shelf || !window.indexedDB || !window.fetch || !window.crypto?.getRandomValues) return;
  const PATIENCE_MS = 120000;
  const list = shelf.querySelector("ul");
  const form = document.querySelector("form[data-keeps-photos]");
  let sending = false;

  /* --- the shelf in the browser's own database --- */
  const opened = new Promise((done, failed) => {
    const request = indexedDB.open("baywitness", 1);
    request.onupgradeneeded = () => request.result.createObjectStore("photos", { keyPath: "key" });
    request.onsuccess = () => done(request.result);
    request.onerror = () => failed(request.error);
  });
  opened.catch(() => {});
  const shelved = async (mode, act) => {
    const change = (await opened).transaction("photos", mode);
    const request = act(change.objectStore("photos"));
    return new Promise((done, failed) => {
      change.oncomplete = () => done(request.result);
      change.onerror = change.onabort = () => failed(change.error);
    });
  };
  const keep = (item) => shelved("readwrite", (store) => store.put(item));
  const drop = (key) => shelved("readwrite", (store) => store.delete(key));
  const mine = async () =>
    (await shelved("readonly", (store) => store.getAll()))
      .filter((item) => item.person === shelf.dataset.person)
      .sort((one, other) => one.at.localeCompare(other.at));

  /* --- sending --- */
  const token = () => JSON.parse(document.body.getAttribute("hx-headers") || "{}")["x-csrftoken"] || "";
  /* -> {saved: address}, {refused: [sentences]} or {waits: word} */
  const send = async (item) => {
    const body = new FormData();
    item.fields.forEach(([name, value]) => body.append(name, value));
    item.files.forEach(({ name, type, bytes }) => body.append("photos", new Blob([bytes], { type }), name));
    const stop = new AbortController();
    const timer = setTimeout(() => stop.abort(), PATIENCE_MS);
    try {
      const answer = await fetch(item.url, {
        method: "POST", body, redirect: "manual", signal: stop.signal,
        headers: { Accept: "application/json", "X-CSRFToken": token() },
      });
      if (answer.status === 403) return { waits: "signedOut" };
      if (!(answer.headers.get("Content-Type") || "").startsWith("application/json")) return { waits: "answer" };
      const told = await answer.json();
      return answer.status >= 500 ? { waits: "answer" } : told;
    } catch {
      return { waits: "network" };
    } finally {
      clearTimeout(timer);
    }
  };

  /* Everything that waits, oldest first; the address of the last one saved, if all went. */
  const sendAll = async () => {
    if (sending) return null;
    sending = true;
    let went = null;
    try {
      for (const item of await mine()) {
        if (item.refused) continue;
        const told = await send(item);
        if (told.saved) {
          await drop(item.key);
          went = told.saved;
        } else if (told.refused) {
          item.refused = told.refused;
          await keep(item);
        } else {
          item.waits = told.waits;
          await keep(item);
          if (told.waits === "network") break;
        }
      }
    } finally {
      sending = false;
    }
    await show();
    return went;
  };

  /* --- what is seen of it --- */
  const line = (item) => {
    const row = document.createElement("li");
    const what = document.createElement("b");
    what.textContent = `${item.files.length} × ${item.what}, ${item.at.slice(11, 16)}`;
    const state = document.createElement("span");
    state.className = "fine";
    state.textContent = ` ${(item.refused || [shelf.dataset[item.waits] || shelf.dataset.network]).join(" ")} `;
    const away = document.createElement("button");
    away.type = "button";
    away.className = "btn quiet";
    away.textContent = shelf.dataset.discard;
    away.addEventListener("click", async () => {
      if (!window.confirm(shelf.dataset.sure)) return;
      await drop(item.key);
      await show();
    });
    row.append(what, state, away);
    return row;
  };
  const show = async () => {
    const items = await mine();
    list.replaceChildren(...items.map(line));
    shelf.hidden = !items.length;
    return items;
  };

  /* --- the form --- */
  const newKey = () =>
    [...crypto.getRandomValues(new Uint8Array(16))].map((byte) => byte.toString(16).padStart(2, "0")).join("");
  const asItem = async (submitter) => {
    const data = new FormData(form, submitter);
    const files = data.getAll("photos").filter((file) => file.size || file.name);
    const subject = form.querySelector("[name=subject]:checked");
    if (!files.length || !subject) return null;
    const at = data.get("device_at") || new Date().toISOString();
    return {
      key: data.get("client_key") || newKey(), person: shelf.dataset.person, url: form.action, at,
      what: subject.closest("label").textContent.trim(),
      fields: [...data].filter(([name]) => name !== "photos" && name !== "csrfmiddlewaretoken"),
      files: await Promise.all(
        files.map(async (file) => ({ name: file.name, type: file.type, bytes: await file.arrayBuffer() }))
      ),
    };
  };
  const say = (sentences) => {
    form.querySelector(".notice")?.remove();
    const notice = document.createElement("div");
    notice.className = "notice notice-wrong";
    notice.setAttribute("role", "alert");
    notice.append(...sentences.map((text) => Object.assign(document.createElement("p"), { textContent: text })));
    form.querySelector("[name=photos]").closest(".field").prepend(notice);
    notice.scrollIntoView({ block: "center" });
  };
  let asIs = false;
  form?.addEventListener("submit", async (event) => {
    if (asIs) return;
    event.preventDefault();
    if (sending) return;
    const submitter = event.submitter;
    const plainly = () => {
      asIs = true;
      form.requestSubmit(submitter);
    };
    let item;
    try {
      item = await asItem(submitter);
      if (!item) return plainly();
      await keep(item);
    } catch {
      return plainly(); /* no room, or a private window: the ordinary way still works */
    }
    const waiting = await show();
    const went = await sendAll();
    const left = (await mine()).find((other) => other.key === item.key);
    if (!left && went && waiting.length) return window.location.assign(went);
    if (left?.refused) {
      await drop(item.key); /* all of it is still in the form */
      await show();
      return say(left.refused);
    }
    if (left) {
      form.querySelector("[name=photos]").value = "";
      form.querySelector("[name=caption]").value = "";
      form.querySelector("[name=client_key]").value = newKey();
      shelf.scrollIntoView({ block: "nearest" });
    }
  });
  shelf.querySelector("[data-send]").addEventListener("click", sendAll);
  window.addEventListener("online", sendAll);
  show().then((items) => items.length && sendAll()).catch(() => {});
})();
