// What the station shows: as the server told it last, and on top of it what was said here and is not yet counted.
"use strict";

const Shown = (() => {
  const LISTS = ["mine", "others", "next", "trouble", "done"];
  const MOST_DONE = 4;

  function clock(said) {
    return new Date(said).toLocaleTimeString("en-GB", { hour: "2-digit", minute: "2-digit" });
  }

  function take(view, act) {
    for (const name of LISTS.slice(0, 4)) {
      const place = view[name].findIndex((row) => row.serial === act.serial && (!act.position || row.position === act.position));
      if (place >= 0) return view[name].splice(place, 1)[0];
    }
    return { bed: act.serial, size: "", operation: "", run: "", place_in_run: "", day: "", serial: act.serial, position: act.position, waits: [] };
  }

  function start(view, act) {
    if (view.mine.some((row) => row.serial === act.serial && (!act.position || row.position === act.position))) return;
    const row = take(view, act);
    for (const before of view.mine.splice(0)) {
      view.done.unshift({ ...before, done: clock(act.said), closedBy: act.id });
      view.left = Math.max(0, view.left - 1);
    }
    view.mine = [{ ...row, started: clock(act.said), mine: true, by: act.id }];
  }

  function back(view, act) {
    const here = view.mine.find((row) => row.serial === act.serial);
    if (here) {
      view.mine = view.mine.filter((row) => row !== here);
      view.next.unshift({ ...here, started: "" });
      const before = view.done.find((row) => row.closedBy && row.closedBy === here.by);
      if (before) {
        view.done = view.done.filter((row) => row !== before);
        view.mine = [before];
        view.left += 1;
      }
      return;
    }
    const row = [...view.trouble, ...view.done].find((one) => one.serial === act.serial);
    if (!row) return;
    view.trouble = view.trouble.filter((one) => one !== row);
    view.done = view.done.filter((one) => one !== row);
    view.mine = [row];
  }

  function apply(view, act) {
    if (act.act === "start") start(view, act);
    else if (act.act === "back") back(view, act);
    else {
      const row = take(view, act);
      if (act.act === "done") {
        view.done.unshift({ ...row, done: clock(act.said), mine: true });
        view.left = Math.max(0, view.left - 1);
      } else view.trouble.unshift({ ...row, mine: true, says: act.says || "" });
    }
  }

  function withActs(told, acts) {
    const view = structuredClone(told);
    for (const act of acts) apply(view, act);
    view.done = view.done.slice(0, MOST_DONE);
    return view;
  }

  function fill(part, row) {
    for (const one of part.querySelectorAll("[data-f]")) {
      const name = one.dataset.f;
      if (name === "waits") {
        const waits = row.waits || [];
        one.hidden = !waits.length;
        one.textContent = waits.length ? `Not booked as done: ${waits.join(", ")}` : "";
      } else if (name === "started") one.textContent = row.started ? `since ${row.started}` : "";
      else one.textContent = row[name] || "";
      if (name === "bed") one.classList.toggle("long", (row.bed || "").length > 11);
      if (name === "day") one.parentElement.hidden = !row.day;
    }
  }

  function list(part, rows, words, button) {
    part.hidden = !rows.length;
    part.querySelector("ul").replaceChildren(
      ...rows.map((row) => {
        const item = document.createElement("li");
        const text = document.createElement("span");
        text.textContent = words(row);
        item.append(text);
        if (button) {
          const take = document.createElement("button");
          take.type = "button";
          take.textContent = button.words;
          take.addEventListener("click", () => button.press(row));
          item.append(" ", take);
        }
        return item;
      }),
    );
  }

  const called = (row) => [`${row.bed} ${row.size}`.trim(), row.operation, row.bed === row.serial ? "" : row.serial].filter(Boolean).join(", ");

  return { withActs, fill, list, called };
})();
