// Sets light or dark before the first paint, as chosen last time.
(function () {
  "use strict";
  var kept = null;
  try { kept = localStorage.getItem("theme"); } catch (e) { /* storage may be closed */ }
  if (kept === "light" || kept === "dark") document.documentElement.dataset.theme = kept;
})();
