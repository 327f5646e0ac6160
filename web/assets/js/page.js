// Conveniences; every page works without them.
(function () {
  "use strict";

  function store(key, value) {
    try {
      if (value === null) localStorage.removeItem(key);
      else localStorage.setItem(key, value);
    } catch (e) { /* a full or closed storage costs a convenience only */ }
  }
  function stored(key) {
    try { return localStorage.getItem(key); } catch (e) { return null; }
  }

  // Light or dark.
  var button = document.querySelector("[data-theme-switch]");
  if (button) {
    button.hidden = false;
    button.addEventListener("click", function () {
      var root = document.documentElement;
      var dark = root.dataset.theme ? root.dataset.theme === "dark" : matchMedia("(prefers-color-scheme: dark)").matches;
      root.dataset.theme = dark ? "light" : "dark";
      store("theme", root.dataset.theme);
    });
  }

  // Drafts: what was typed survives a lost signal or a dead battery. A form with
  // data-draft keeps its fields until the server has taken them.
  function fields(form) {
    return Array.prototype.filter.call(form.elements, function (e) {
      return e.name && e.type !== "hidden" && e.type !== "file" && e.type !== "submit" && e.type !== "password";
    });
  }
  function keep(form) {
    var draft = fields(form).map(function (e) {
      return [e.name, e.type === "checkbox" || e.type === "radio" ? e.value + "|" + e.checked : e.value];
    });
    store("draft:" + form.dataset.draft, JSON.stringify(draft));
  }
  function bring(form) {
    var text = stored("draft:" + form.dataset.draft);
    if (!text) return;
    var draft;
    try { draft = JSON.parse(text); } catch (e) { return; }
    var used = {};
    draft.forEach(function (pair) {
      var list = fields(form).filter(function (e) { return e.name === pair[0]; });
      list.forEach(function (e) {
        if (e.type === "checkbox" || e.type === "radio") {
          if (pair[1].split("|")[0] === e.value) e.checked = pair[1].split("|")[1] === "true";
        } else if (!used[pair[0]] || list.length === 1) e.value = pair[1];
      });
      used[pair[0]] = true;
    });
    var note = document.createElement("p");
    note.className = "draft-note";
    note.setAttribute("role", "status");
    note.textContent = "What you typed here before was kept. ";
    var drop = document.createElement("button");
    drop.type = "button";
    drop.className = "quiet";
    drop.textContent = "Start afresh";
    drop.addEventListener("click", function () { store("draft:" + form.dataset.draft, null); form.reset(); note.remove(); });
    note.appendChild(drop);
    form.prepend(note);
  }
  // A sent form leaves a mark in its tab; the first page after it tells what
  // became of it. Taken, it leads to the page of a later change than the one it
  // was sent from; else the draft stays.
  function did() {
    return Number(new URLSearchParams(location.search).get("did") || -1);
  }
  function mark(value) {
    try {
      var key = "draft-sent", kept = sessionStorage.getItem(key);
      if (value === null) sessionStorage.removeItem(key);
      else sessionStorage.setItem(key, value);
      return kept;
    } catch (e) { return null; }
  }
  var sent = mark(null);
  if (sent) {
    sent = JSON.parse(sent);
    if (did() > sent.from) store("draft:" + sent.draft, null);
  }
  document.querySelectorAll("form[data-draft]").forEach(function (form) {
    if (!document.getElementById("problems")) bring(form);
    form.addEventListener("input", function () { keep(form); });
    form.addEventListener("submit", function () { mark(JSON.stringify({ draft: form.dataset.draft, from: did() })); });
  });

  // The first problem of a refused form is read out and seen.
  var problems = document.getElementById("problems");
  if (problems) problems.focus();

  // A form is sent once however often the button is tapped.
  document.addEventListener("submit", function (event) {
    var form = event.target;
    if (form.getAttribute("method") !== "post") return; // a field may be called "method"
    if (form.dataset.sent) { event.preventDefault(); return; }
    form.dataset.sent = "1";
    setTimeout(function () { delete form.dataset.sent; }, 4000);
  });
  // A page that was gone back to may be sent anew at once.
  window.addEventListener("pageshow", function (event) {
    if (event.persisted) document.querySelectorAll("form[data-sent]").forEach(function (form) { delete form.dataset.sent; });
  });

  // Chosen photos are shown before they are sent.
  document.addEventListener("change", function (event) {
    var input = event.target;
    if (input.type !== "file" || !input.dataset.preview) return;
    var box = document.getElementById(input.dataset.preview);
    if (!box) return;
    box.textContent = "";
    Array.prototype.forEach.call(input.files, function (file) {
      if (!/^image\//.test(file.type)) {
        var name = document.createElement("span");
        name.textContent = file.name;
        box.appendChild(name);
        return;
      }
      var image = document.createElement("img");
      image.alt = file.name;
      image.src = URL.createObjectURL(file);
      image.onload = function () { URL.revokeObjectURL(image.src); };
      box.appendChild(image);
    });
  });

  // Ask before what cannot be meant lightly.
  document.addEventListener("click", function (event) {
    var ask = event.target.closest && event.target.closest("[data-ask]");
    if (ask && !window.confirm(ask.dataset.ask)) event.preventDefault();
  });
})();
