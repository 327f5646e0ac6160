// Readings one after another: each goes into the list, which is the form's own
// field and kept in the browser, so that a lost signal loses none; what they say is
// asked of the server.
(function () {
  "use strict";
  var form = document.querySelector("[data-check]");
  if (!form || !window.htmx) return;
  var shape = form.dataset.check, list = form.elements.taken, reading = form.elements.reading, at = form.elements.at;
  var heard = form.querySelector("[data-heard]"), pad = form.querySelector("[data-pad]");

  function say(text) { heard.textContent = text; }
  function lines() {
    return list.value.split("\n").filter(function (l) { return l.trim() !== ""; });
  }
  function keep(all) {
    list.value = all.join("\n");
    list.dispatchEvent(new Event("input", { bubbles: true }));
    window.htmx.trigger(form, "readings");
  }
  function add() {
    var value = reading.value.trim();
    if (value === "" || (at && at.value.trim() === "")) {
      (at && at.value.trim() === "" ? at : reading).focus();
      say("Type the reading first.");
      return;
    }
    // A part that wears has its distance before the colon.
    var all = lines();
    all.push(at ? at.value.trim() + ": " + value : value);
    reading.value = "";
    if (at) at.value = "";
    keep(all);
    count(all.length);
    if (!padded()) (at || reading).focus();
  }
  function count(n) {
    var label = form.querySelector("[data-label]");
    if (label && /^Place /.test(label.textContent)) label.textContent = label.textContent.replace(/^Place \d+/, "Place " + (n + 1));
  }
  function undo() {
    var all = lines();
    all.pop();
    keep(all);
    count(all.length);
    (at || reading).focus();
  }
  function padded() { return pad && getComputedStyle(pad).display !== "none"; }

  form.addEventListener("click", function (event) {
    var look = event.target.closest('button[value="look"]');
    if (!look) return;
    event.preventDefault();
    window.htmx.trigger(form, "readings");
  });
  if (shape === "row" || shape === "wear") {
    form.addEventListener("click", function (event) {
      var button = event.target.closest("button");
      if (!button) return;
      if (button.hasAttribute("data-add")) { event.preventDefault(); add(); }
      if (button.hasAttribute("data-undo")) { event.preventDefault(); undo(); }
    });
    form.addEventListener("input", function (event) {
      if (event.isTrusted && event.target === list) count(lines().length);
    });
    form.addEventListener("keydown", function (event) {
      if (event.key !== "Enter" || (event.target !== reading && event.target !== at)) return;
      event.preventDefault();
      if (event.target === at) reading.focus();
      else add();
    });
  }
  if (pad) {
    pad.hidden = false;
    // The keys of the page are larger than the phone's and hide nothing.
    if (padded()) {
      reading.setAttribute("inputmode", "none");
      form.dataset.padded = "";
    }
    pad.addEventListener("click", function (event) {
      var key = event.target.closest("button");
      if (!key || !key.dataset.key) return;
      var now = reading.value;
      if (key.dataset.key === "back") reading.value = now.slice(0, -1);
      else if (key.dataset.key === "-") reading.value = now.charAt(0) === "-" ? now.slice(1) : "-" + now;
      else if (key.dataset.key !== "." || now.indexOf(".") < 0) reading.value = now + key.dataset.key;
      reading.dispatchEvent(new Event("input", { bubbles: true }));
    });
  }
  document.body.addEventListener("htmx:afterSwap", function (event) {
    var live = document.getElementById("check-live"), words = live && live.querySelector("[data-say]");
    if (event.target.id === "check-live" || event.detail.target.id === "check-live") say(words ? words.dataset.say : "");
  });
  form.addEventListener("htmx:sendError", function () {
    say("No connection: the readings are kept here.");
    var live = document.getElementById("check-live");
    if (live) {
      var note = document.createElement("p");
      note.className = "draft-note";
      note.textContent = "No connection: " + lines().length + " readings are kept in this browser. What they say comes with the next reading.";
      live.prepend(note);
    }
  });
  // A draft that was brought back is looked at at once.
  if (list && lines().length && !document.getElementById("problems")) setTimeout(function () { window.htmx.trigger(form, "readings"); });
})();
