// Acts that were said and are not yet in the ledger: each is kept here under a key of its own the moment it is said,
// sent in the order in which they were said, and removed only when the server has answered what became of it.
"use strict";

const Kept = (() => {
  const ACT = "bedwright-act ";
  const REFUSED = "bedwright-refused ";
  const FIRST_WAIT = 1000; // ms
  const LONGEST_WAIT = 30000;
  const PATIENCE = 15000;
  const spare = new Map(); // where the browser keeps nothing, acts live as long as the page
  let set = null; // {acts, now, token, answered(act, answer), changed()}
  let wait = FIRST_WAIT;
  let timer = 0;
  let sending = false;
  let trouble = "";

  function newId() {
    if (crypto.randomUUID) return crypto.randomUUID();
    return Array.from(crypto.getRandomValues(new Uint8Array(16)), (one) => one.toString(16).padStart(2, "0")).join("");
  }

  function write(key, value) {
    const text = JSON.stringify(value);
    try {
      localStorage.setItem(key, text);
    } catch {
      spare.set(key, text);
      trouble = "This tablet can keep nothing: do not close this page before everything is sent.";
    }
  }

  function remove(key) {
    spare.delete(key);
    try {
      localStorage.removeItem(key);
    } catch {
      // nothing was kept there
    }
  }

  function all(prefix) {
    const texts = new Map(spare);
    try {
      for (let n = 0; n < localStorage.length; n += 1) {
        const key = localStorage.key(n);
        if (key.startsWith(prefix)) texts.set(key, localStorage.getItem(key));
      }
    } catch {
      // what is spare is all there is
    }
    const found = [];
    for (const [key, text] of texts) {
      if (!key.startsWith(prefix)) continue;
      try {
        found.push(JSON.parse(text));
      } catch {
        remove(key);
      }
    }
    return found.sort((a, b) => (a.said + a.n < b.said + b.n ? -1 : 1));
  }

  const acts = () => all(ACT);
  const refused = () => all(REFUSED);

  let count = 0;
  function add(act) {
    count += 1;
    const whole = { ...act, id: newId(), said: new Date().toISOString(), n: String(count).padStart(6, "0") };
    write(ACT + whole.id, whole);
    set.changed();
    sendSoon(0);
    return whole;
  }

  function sendSoon(after) {
    clearTimeout(timer);
    timer = setTimeout(send, after);
  }

  async function send() {
    if (sending) return;
    sending = true;
    try {
      if (navigator.locks) await navigator.locks.request("bedwright-acts", { ifAvailable: true }, (held) => held && inOrder());
      else await inOrder(); // two pages may send one act: it counts once
    } finally {
      sending = false;
    }
    if (acts().length) {
      sendSoon(wait);
      wait = Math.min(wait * 2, LONGEST_WAIT);
    } else wait = FIRST_WAIT;
    set.changed();
  }

  async function inOrder() {
    for (let next = acts()[0]; next; next = acts()[0]) {
      const answer = await post(next, true);
      if (!answer) return;
      if (answer.state === "refused") write(REFUSED + next.id, { ...next, why: answer.says });
      remove(ACT + next.id);
      trouble = "";
      wait = FIRST_WAIT;
      set.answered(next, answer);
    }
  }

  async function post(act, mayRenew) {
    const { n, seen, ...told } = act;
    let came;
    try {
      came = await ask(set.acts, told);
    } catch {
      trouble = "The network is gone.";
      return null;
    }
    if (came.status === 403 && mayRenew && (await renew())) return post(act, false);
    if (came.status === 403 || came.type === "opaqueredirect") {
      trouble = "This tablet is not let in any more; tell the owner.";
      return null;
    }
    if (came.ok) {
      const answer = await came.json().catch(() => null);
      if (answer && ["counted", "again", "refused"].includes(answer.state)) return answer;
    } else if (came.status >= 400 && came.status < 500 && ![408, 425, 429].includes(came.status)) {
      return { state: "refused", says: `The server could not take this (answer ${came.status}).` };
    }
    trouble = "The server does not answer as it should.";
    return null;
  }

  async function renew() {
    try {
      const came = await fetch(set.now, { credentials: "same-origin", redirect: "manual", cache: "no-store" });
      if (!came.ok) return false;
      set.token = (await came.json()).token;
      return true;
    } catch {
      return false;
    }
  }

  function ask(address, told) {
    return fetch(address, {
      method: "POST",
      headers: { "Content-Type": "application/json", "X-CSRFToken": set.token },
      body: JSON.stringify(told),
      credentials: "same-origin",
      redirect: "manual",
      cache: "no-store",
      signal: AbortSignal.timeout(PATIENCE),
    });
  }

  function begin(given) {
    set = given;
    window.addEventListener("online", () => {
      wait = FIRST_WAIT;
      sendSoon(0);
    });
    window.addEventListener("storage", () => set.changed());
    sendSoon(0);
  }

  return {
    begin,
    add,
    acts,
    refused,
    ask,
    renew,
    acknowledge: (id) => remove(REFUSED + id),
    sendNow: () => sendSoon(0),
    trouble: () => trouble,
    token: (fresh) => { set.token = fresh; },
  };
})();
