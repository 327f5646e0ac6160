// While a long file is read: asks how far it is, and goes on when it is done.
// Without script the page asks for itself again every two seconds.
(function () {
  "use strict";
  var box = document.querySelector("[data-wait]");
  if (!box || !window.fetch) return;
  function again() { setTimeout(ask, 700); }
  function ask() {
    fetch(location.href).then(function (answer) {
      if (answer.status !== 202) {
        location.reload();
        return null;
      }
      return answer.text();
    }).then(function (text) {
      if (text === null) return;
      var now = new DOMParser().parseFromString(text, "text/html"), bar = box.querySelector("progress");
      bar.value = now.querySelector("progress").value;
      ["[data-percent]", "[data-words]"].forEach(function (name) {
        var words = now.querySelector(name).textContent, place = box.querySelector(name);
        if (place.textContent !== words) place.textContent = words;
      });
      again();
    }).catch(again); // the signal may come back
  }
  again();
})();
