// The figure beside each slider follows it.
(function () {
  "use strict";
  document.querySelectorAll("input[data-shows]").forEach(function (input) {
    var output = document.getElementById(input.dataset.shows);
    input.addEventListener("input", function () {
      var parts = input.value.split(".");
      parts[0] = parts[0].replace(/^-/, "\u2212").replace(/(\d)(?=(\d{3})+$)/g, "$1\u202f");
      output.textContent = (parts.join(".") + " " + output.dataset.unit).trim();
    });
  });
})();
