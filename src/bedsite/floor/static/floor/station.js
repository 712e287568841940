// The station: listens for the scanner, says acts, draws what is shown. Kept (kept.js) keeps and sends what was said.
"use strict";

(() => {
  const at = (id) => document.getElementById(id);
  const root = at("station");
  const scan = at("scan");
  const pin = at("pin");
  const OPEN = "bedwright-open";
  const SHOWN = "bedwright-shown";
  const LAST = "bedwright-last";
  const IDLE = Number(root.dataset.idle) * 60000; // ms
  const LOOK_AGAIN = 20000;
  const FOCUS_BACK = 6000;
  const SERIAL = /^S[0-9]{8,14}$/;
  const JOB_CARD = /^W[0-9A-Z]{6,14}([.-][0-9A-Z]+)*$/;
  let told = newest(JSON.parse(root.dataset.state));
  let view = told;
  let networkGone = false;
  let lastTouch = 0;

  function read(key) {
    try {
      const found = JSON.parse(localStorage.getItem(key));
      return found && found.device === root.dataset.device ? found.value : null;
    } catch {
      return null;
    }
  }

  function keep(key, value) {
    try {
      if (value === null) localStorage.removeItem(key);
      else localStorage.setItem(key, JSON.stringify({ device: root.dataset.device, value }));
    } catch {
      // shown from memory alone
    }
  }

  function newest(page) {
    const before = read(SHOWN);
    return before && before.place === page.place && before.moment > page.moment ? before : page;
  }

  // who is at work here

  const open = () => {
    const held = read(OPEN);
    return held && Date.now() - held.last <= IDLE ? held : null;
  };

  function lockHere() {
    const held = read(OPEN);
    keep(OPEN, null);
    at("trouble").open = false;
    if (held) Kept.ask(root.dataset.lock, { unlock: held.id }).catch(() => {});
    draw();
  }

  async function unlock(with_) {
    let answer;
    try {
      let came = await Kept.ask(root.dataset.unlock, with_);
      if (came.status === 403 && (await Kept.renew())) came = await Kept.ask(root.dataset.unlock, with_);
      answer = await came.json();
    } catch {
      say("The network is gone: nobody can be let in now. Write down what you do and scan it later.", true);
      return;
    }
    if (answer.state !== "open") {
      say(answer.says, true);
      return;
    }
    keep(OPEN, { id: answer.unlock, name: answer.name, last: Date.now() });
    show(answer.shown);
    say(answer.says);
  }

  // what is said

  function say(words, bad) {
    const lines = Array.isArray(words) ? words : [words];
    at("told").replaceChildren(
      ...lines.map((line, place) => {
        const part = document.createElement("p");
        part.className = bad || place ? "bad" : "good";
        part.textContent = line;
        return part;
      }),
    );
  }

  const TWICE = 800;
  const HURT = "somebody hurt, or nearly";
  let pressed = { at: 0, act: "" };

  function act(what, row, says) {
    const held = open();
    if (!held) {
      say("Show your badge first, then do it again.", true);
      lockHere();
      return;
    }
    keep(OPEN, { ...held, last: Date.now() });
    const said = { act: what, serial: row.serial, unlock: held.id };
    if (row.position && what !== "back") said.position = row.position;
    if (says) said.says = says;
    const words = { start: "in work", done: "done", trouble: "in trouble", back: "put back" };
    const done = `${row.bed && row.bed !== row.serial ? `${row.bed}, ` : ""}${row.serial}: ${words[what]}.`;
    say(says === HURT ? ["Help first: fetch the first-aider, leave the machine off.", done] : done);
    keep(LAST, row.serial);
    Kept.add(said);
    at("trouble").open = false;
    scan.focus({ preventScroll: true });
  }

  function scanned(text) {
    const code = text.trim().toUpperCase();
    if (!code) return;
    if (SERIAL.test(code)) {
      if (!open()) say(`Show your badge first, then scan ${code} again.`, true);
      else if (view.mine.some((row) => row.serial === code)) say(`${code} is in work here already.`);
      else act("start", { serial: code });
    } else if (JOB_CARD.test(code)) say(`${code} is a job card; scan the ticket of the bed itself.`, true);
    else unlock({ badge: code });
  }

  function answered(said, answer) {
    if (answer.shown) show(answer.shown);
    if (answer.state === "refused") {
      say([]); // what was said at once did not hold
      if (answer.shown && !answer.shown.person && open() && open().id === said.unlock) lockHere();
    } else if (!Kept.acts().length && answer.state === "counted") say([answer.says, ...(answer.notes || [])]);
  }

  // what is shown

  function show(fresh) {
    if (fresh.moment < told.moment) return;
    const { person, ...rest } = fresh;
    told = rest;
    keep(SHOWN, told);
    draw();
  }

  function undo() {
    const mine = [...view.trouble, ...view.done].filter((row) => row.mine);
    return view.mine[0] || mine.find((row) => row.serial === read(LAST)) || view.done.find((row) => row.mine);
  }

  function draw() {
    const held = open();
    const waiting = Kept.acts();
    view = Shown.withActs(told, waiting);
    document.body.classList.toggle("locked", !held);
    at("person").textContent = held ? held.name || "no name" : "";
    at("lock").hidden = !held;
    at("buttons").hidden = !held;
    at("open").hidden = Boolean(held);
    at("scan-label").textContent = held ? "Scan the ticket of a bed" : "Scan your badge";
    at("mine").hidden = !view.mine.length;
    if (view.mine.length) Shown.fill(at("mine"), view.mine[0]);
    at("next").querySelector(".one").hidden = !view.next.length;
    at("next").querySelector(".none").hidden = Boolean(view.next.length);
    if (view.next.length) Shown.fill(at("next"), view.next[0]);
    at("left").textContent = view.left ? `${view.left} left for the van of ${view.day}` : "";
    button("start", view.next[0]);
    button("done", view.mine[0]);
    button("back", undo());
    const about = view.mine[0] || view.next[0];
    at("trouble").hidden = !about;
    if (about) at("trouble-with").textContent = `${about.bed} ${about.serial}`;
    const press = held ? { words: "Take up", press: (row) => act("start", row) } : null;
    Shown.list(at("trouble-list"), view.trouble, (row) => [Shown.called(row), row.says, row.who].filter(Boolean).join(", "), press);
    Shown.list(at("others"), view.others, (row) => `${Shown.called(row)}, since ${row.started}${row.who ? `, ${row.who}` : ""}`);
    Shown.list(at("after"), view.next.slice(1, 4), Shown.called);
    Shown.list(at("done"), view.done, (row) => `${row.done} ${Shown.called(row)}`);
    drawKept(waiting);
  }

  function button(what, row) {
    document.querySelector(`form[data-act="${what}"]`).hidden = !row;
  }

  function drawKept(waiting) {
    at("kept").hidden = !waiting.length && !networkGone;
    const kept = waiting.length ? `Kept here, not yet sent: ${waiting.length}.` : "";
    at("kept").firstElementChild.textContent = [networkGone && !Kept.trouble() ? "The network is gone." : Kept.trouble(), kept].filter(Boolean).join(" ");
    const refused = Kept.refused();
    at("refused").hidden = !refused.length;
    at("refused").replaceChildren(
      ...refused.map((one) => {
        const line = document.createElement("div");
        const text = document.createElement("p");
        text.className = "bad";
        text.textContent = `Not counted: ${one.act} ${one.serial}, ${new Date(one.said).toLocaleTimeString("en-GB", { hour: "2-digit", minute: "2-digit" })}. ${one.why}`;
        const seen = document.createElement("button");
        seen.type = "button";
        seen.textContent = "Seen";
        seen.addEventListener("click", () => {
          Kept.acknowledge(one.id);
          draw();
          scan.focus({ preventScroll: true });
        });
        line.append(text, seen);
        return line;
      }),
    );
  }

  async function lookAgain() {
    if (document.visibilityState !== "visible" || Kept.acts().length) return;
    try {
      const came = await fetch(root.dataset.now, { credentials: "same-origin", redirect: "manual", cache: "no-store" });
      if (came.ok) {
        const fresh = await came.json();
        Kept.token(fresh.token);
        delete fresh.token;
        networkGone = false;
        if (!Kept.acts().length) show(fresh);
      }
    } catch {
      networkGone = true;
    }
    draw();
  }

  // hands: scanner, buttons, keys

  at("scan-form").addEventListener("submit", (event) => {
    event.preventDefault();
    const text = scan.value;
    scan.value = "";
    scanned(text);
  });
  const rows = { start: () => view.next[0], done: () => view.mine[0], trouble: () => view.mine[0] || view.next[0], back: undo };
  for (const form of document.querySelectorAll("form.act")) {
    form.addEventListener("submit", (event) => {
      event.preventDefault();
      const row = rows[form.dataset.act]();
      // a glove that bounces, or a second press where another button stood: no new bed is begun by either
      const soon = Date.now() - pressed.at < TWICE;
      const again = soon && form.dataset.act === "start" && pressed.act !== "done";
      pressed = { at: Date.now(), act: form.dataset.act };
      if (row && !again) act(form.dataset.act, row, event.submitter ? event.submitter.value : "");
    });
  }
  for (const form of document.querySelectorAll("form.again")) form.remove();
  at("lock").addEventListener("submit", (event) => {
    event.preventDefault();
    lockHere();
    say("Locked.");
    scan.focus();
  });
  at("pin-form").addEventListener("submit", (event) => {
    event.preventDefault();
    const given = new FormData(event.target);
    pin.value = "";
    unlock({ person: given.get("person"), pin: given.get("pin") });
  });
  if (at("keys")) {
    at("keys").hidden = false;
    at("pin-form").querySelector("button.plain").hidden = true;
    pin.inputMode = "none";
    at("keys").addEventListener("click", (event) => {
      const key = event.target.dataset.key;
      if (key === "clear") pin.value = "";
      else if (key) pin.value = (pin.value + key).slice(0, 8);
    });
  }
  scan.inputMode = "none"; // no keyboard comes up on the screen
  document.addEventListener("keydown", (event) => {
    if (event.ctrlKey || event.altKey || event.metaKey || event.key.length !== 1 || event.key === " ") return;
    if (event.target instanceof HTMLInputElement && event.target.type !== "radio") return;
    scan.focus({ preventScroll: true }); // the sign goes into the box that now has the focus
  });
  document.addEventListener("pointerdown", () => { lastTouch = Date.now(); });
  document.addEventListener("focusin", () => { lastTouch = Date.now(); });
  window.addEventListener("focus", () => scan.focus({ preventScroll: true }));
  window.addEventListener("online", () => { networkGone = false; lookAgain(); });
  window.addEventListener("offline", () => { networkGone = true; draw(); });
  setInterval(() => {
    if (read(OPEN) && !open()) {
      lockHere();
      say("Nobody did anything for a while, so this tablet locked itself. Show your badge.");
    }
    if (document.activeElement !== scan && document.activeElement !== pin && Date.now() - lastTouch > FOCUS_BACK) scan.focus({ preventScroll: true });
  }, 2000);
  setInterval(lookAgain, LOOK_AGAIN);

  networkGone = navigator.onLine === false;
  Kept.begin({
    acts: root.dataset.acts,
    now: root.dataset.now,
    token: document.querySelector("input[name=csrfmiddlewaretoken]").value,
    answered,
    changed: draw,
  });
  draw();
  scan.focus({ preventScroll: true });
  document.body.classList.add("listening");
  if ("serviceWorker" in navigator) {
    navigator.serviceWorker.register(root.dataset.keeper).then(() => navigator.serviceWorker.ready).then(() => {
      document.body.classList.add("kept");
    }).catch(() => say("This tablet cannot keep the page: do not reload it while the network is gone.", true));
  }
})();
