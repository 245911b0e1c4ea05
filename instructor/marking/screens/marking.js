"use strict";
// Keys of the page with one text. They can be switched off (WCAG 2.2, 2.1.4), and they are off in
// the comment, where one writes.
const KEPT = "marking: listen to keys";
const listen = document.getElementById("keys");
const form = document.querySelector("form");
const points = form ? [...form.elements.points] : [];

if (listen) {
  listen.checked = sessionStorage.getItem(KEPT) !== "no";
  listen.addEventListener("change", () => sessionStorage.setItem(KEPT, listen.checked ? "yes" : "no"));
  document.getElementById("text").focus();
}

function choose(value) {
  const found = points.find(one => Number(one.value) === value);
  if (found) { found.checked = true; found.focus(); }
  return Boolean(found);
}

function step(amount) {
  const now = points.find(one => one.checked);
  return choose(now ? Number(now.value) + amount : 0);
}

function follow(id) {
  const link = document.getElementById(id);
  if (link) { link.click(); }
  return Boolean(link);
}

function taken(key) {
  if (/^\d$/.test(key)) { return choose(Number(key)); }
  switch (key) {
    case "+": return step(0.5);
    case "-": return step(-0.5);
    case "ArrowRight": return follow("next");
    case "ArrowLeft": return follow("previous");
    case "c": document.getElementById("comment").focus(); return true;
    case "Enter": form.requestSubmit(); return true;
    default: return false;
  }
}

document.addEventListener("keydown", event => {
  if (!form || event.altKey || event.metaKey) { return; }
  const at = event.target;
  if (at.id === "comment") {
    if (event.ctrlKey && event.key === "Enter") { form.requestSubmit(); }
    return;
  }
  if (event.ctrlKey || !listen.checked) { return; }
  if (event.key === "Enter" && at.closest("a, button, summary")) { return; }
  if (taken(event.key)) { event.preventDefault(); }
});
