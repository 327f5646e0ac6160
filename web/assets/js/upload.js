// A long file on its way: how far it is, and a button that calls it back. Without
// script the form is sent as any other.
(function () {
  "use strict";
  document.querySelectorAll("form[data-progress]").forEach(function (form) {
    form.addEventListener("submit", function (event) {
      if (event.defaultPrevented) return;
      event.preventDefault();
      var request = new XMLHttpRequest();
      var line = form.querySelector("[data-way]") || document.createElement("div");
      line.dataset.way = "";
      line.className = "way";
      line.setAttribute("role", "status");
      line.textContent = "Sending… ";
      var bar = document.createElement("progress"), stop = document.createElement("button");
      bar.max = 1;
      bar.setAttribute("aria-label", "Sent so far");
      stop.type = "button";
      stop.className = "second";
      stop.textContent = "Cancel";
      line.append(bar, stop);
      form.append(line);
      function ended(words) {
        line.textContent = words;
        delete form.dataset.sent;
      }
      stop.addEventListener("click", function () { request.abort(); });
      request.upload.addEventListener("progress", function (e) { if (e.lengthComputable) bar.value = e.loaded / e.total; });
      request.upload.addEventListener("load", function () { line.firstChild.data = "Sent. Being read… "; });
      request.addEventListener("abort", function () { ended("Cancelled; nothing was kept."); });
      request.addEventListener("error", function () { ended("It did not arrive: the signal was lost. Send it again."); });
      request.addEventListener("load", function () {
        if (request.responseURL && request.responseURL !== form.action) {
          location.assign(request.responseURL);
          return;
        }
        var answer = new DOMParser().parseFromString(request.responseText, "text/html");
        var problem = answer.querySelector("#problems li, main .lead, main p");
        ended(problem ? problem.textContent : "It could not be read.");
      });
      request.open("POST", form.action);
      request.send(new FormData(form));
    });
  });
})();
