// A long file on its way: how far it is, and a button that calls it back. Without
// script the form is sent as any other. A recording of a kind that only browsers
// read is turned into mono WAV before.
(function () {
  "use strict";
  var rate = 16000; // samples a second, unless the form asks for more

  // wav is mono samples as a file, 16 bits each.
  function wav(samples) {
    var view = new DataView(new ArrayBuffer(44 + 2 * samples.length)), at = 0;
    function word(text) { for (var i = 0; i < 4; i++) view.setUint8(at++, text.charCodeAt(i)); }
    function long(n) { view.setUint32(at, n, true); at += 4; }
    function short(n) { view.setUint16(at, n, true); at += 2; }
    word("RIFF"); long(36 + 2 * samples.length); word("WAVE");
    word("fmt "); long(16); short(1); short(1); long(rate); long(2 * rate); short(2); short(16);
    word("data"); long(2 * samples.length);
    for (var i = 0; i < samples.length; i++, at += 2) view.setInt16(at, Math.max(-1, Math.min(1, samples[i])) * 32767, true);
    return new Blob([view], { type: "audio/wav" });
  }
  function mono(sound) {
    var sum = new Float32Array(sound.length), n = sound.numberOfChannels;
    for (var c = 0; c < n; c++) {
      var one = sound.getChannelData(c);
      for (var i = 0; i < sum.length; i++) sum[i] += one[i] / n;
    }
    return sum;
  }
  // readable gives the file as it is where the workbench reads it, else as WAV;
  // what the browser cannot read either is sent as it is, to be told so.
  function readable(form, file) {
    var known = /\.(wav|flac|mp3|ogg)$/i.test(file.name), Context = window.OfflineAudioContext;
    if (!form.dataset.sound || !Context || known && file.size < Number(form.dataset.sound)) return Promise.resolve(file);
    rate = Number(form.dataset.rate) || rate;
    return file.arrayBuffer().then(function (bytes) {
      return new Context(1, 1, rate).decodeAudioData(bytes);
    }).then(function (sound) {
      return new File([wav(mono(sound))], file.name.replace(/\.[^.]*$/, "") + ".wav", { type: "audio/wav" });
    }).catch(function () { return file; });
  }

  // taken forgets what was typed: the address that it led to holds it all.
  function taken(form) {
    try { if (form.dataset.draft) localStorage.removeItem("draft:" + form.dataset.draft); } catch (e) { /* private mode keeps none */ }
  }

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
      var cancelled = false;
      stop.addEventListener("click", function () {
        cancelled = true;
        request.abort();
        ended("Cancelled; nothing was kept.");
      });
      request.upload.addEventListener("progress", function (e) { if (e.lengthComputable) bar.value = e.loaded / e.total; });
      request.upload.addEventListener("load", function () { line.firstChild.data = "Sent. Being read… "; });
      request.addEventListener("error", function () { ended("It did not arrive: the signal was lost. Send it again."); });
      request.addEventListener("load", function () {
        if (request.responseURL && request.responseURL !== form.action) {
          taken(form);
          location.assign(request.responseURL);
          return;
        }
        var answer = new DOMParser().parseFromString(request.responseText, "text/html");
        var problem = answer.querySelector("#problems li, main .lead, main p");
        ended(problem ? problem.textContent : "It could not be read.");
      });
      var fields = new FormData(form), file = fields.get("file"), by = event.submitter;
      if (by && by.name) fields.set(by.name, by.value);
      if (!file || !file.name) return send(null);
      line.firstChild.data = form.dataset.sound ? "Being made ready… " : "Sending… ";
      readable(form, file).then(send);
      function send(ready) {
        if (cancelled) return;
        if (ready) fields.set("file", ready, ready.name);
        line.firstChild.data = "Sending… ";
        request.open("POST", form.action);
        request.send(fields);
      }
    });
  });
})();
