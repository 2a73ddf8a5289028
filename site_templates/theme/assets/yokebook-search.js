/* Search without a server: in the words of all pages (search_index.js), which are loaded when the search is first opened. */
(function () {
  "use strict";

  var MOST = 20;
  var ROUND = 8;
  var find = window.yokebookFind;

  var box = document.getElementById("yokebook-search");
  if (!box) {
    return;
  }
  var base = box.dataset.base.replace(/\/?$/, "/");
  var index = null;
  var isAskedFor = false;

  box.setAttribute("role", "search");
  var label = add(box, "label", "Search", "yb-search__label");
  var input = add(box, "input", "", "yb-search__input");
  var panel = add(box, "div", "", "yb-search__panel");
  var told = add(panel, "p", "", "yb-search__told");
  var list = add(panel, "ul", "", "yb-search__list");
  input.type = "search";
  input.id = "yokebook-search-words";
  label.htmlFor = input.id;
  input.accessKey = "s";
  input.autocomplete = "off";
  input.spellcheck = false;
  told.setAttribute("role", "status");
  list.id = "yokebook-search-found";
  panel.hidden = true;

  function open() {
    panel.hidden = false;
    if (!isAskedFor) {
      isAskedFor = true;
      told.textContent = "The words of all pages are being loaded.";
      var script = document.createElement("script");
      script.src = base + "search_index.js";
      script.onload = function () {
        index = window.yokebookSearchIndex.map(find.folding);
        answer();
      };
      script.onerror = function () {
        told.textContent = "Search cannot be used here: its file, search_index.js, is missing. Look under All pages.";
      };
      document.body.appendChild(script);
    }
  }

  function close() {
    panel.hidden = true;
  }

  function answer() {
    if (index === null) {
      return;
    }
    list.textContent = "";
    var found = find.find(index, input.value);
    if (!found.words.length) {
      told.textContent = "Type words or numbers, such as a procedure’s number or a machine’s name.";
      return;
    }
    var hits = found.hits.slice(0, MOST);
    hits.forEach(function (hit) { addHit(hit, found.words); });
    told.textContent = summaryOf(found, input.value.trim());
  }

  function summaryOf(found, typed) {
    var many = found.hits.length;
    var nothing = "Nothing found for “" + typed + "”. ";
    if (!many) {
      return nothing + "Try fewer words, or look under All pages.";
    }
    return (found.instead ? nothing + "For “" + found.instead + "”: " : "") + (many > MOST ? "the first " + MOST + " of " + many + " places found."
      : many + (many === 1 ? " place found." : " places found.")).replace(/^t/, found.instead ? "t" : "T");
  }

  function addHit(hit, words) {
    var page = hit.entry.page;
    var heading = hit.section.heading;
    var line = add(list, "li", "");
    var link = add(line, "a", page.title + (heading && heading !== page.title ? ": " + heading : ""));
    link.href = base + find.addressOf(hit);
    var withdrawn = ((window.yokebookEditions || {}).withdrawn || {})[page.code];
    if (page.code) {
      add(line, "span", " " + page.code + (withdrawn ? ", withdrawn from " + withdrawn.on + " on" : ""), "yb-search__code");
    }
    addExcerpt(add(line, "p", ""), hit.section.text || page.summary, words);
  }

  /* Some words of a text, from shortly before the place where most of what was looked for stands together, and that marked. */
  function addExcerpt(into, text, words) {
    var all = text.split(" ");
    var found = all.map(function (word) {
      var inFold = find.folded(word);
      return words.filter(function (each) { return each.begins.test(inFold); });
    });
    var first = densest(found);
    var start = Math.max(0, first - ROUND);
    var end = Math.min(all.length, start + 3 * ROUND);
    add(into, "", start ? "… " : "");
    all.slice(start, end).forEach(function (word, number) {
      add(into, found[start + number].length ? "mark" : "", word);
      add(into, "", " ");
    });
    add(into, "", end < all.length ? "…" : "");
  }

  /* The number of the word from which on the next few hold most different ones of those looked for. */
  function densest(found) {
    var best = 0;
    var most = 0;
    found.forEach(function (own, number) {
      if (own.length) {
        var near = new Set([].concat.apply([], found.slice(number, number + ROUND))).size;
        best = near > most ? number : best;
        most = Math.max(near, most);
      }
    });
    return best;
  }

  function add(into, tag, text, className) {
    var node = tag ? document.createElement(tag) : document.createTextNode(text);
    if (tag) {
      node.textContent = text;
    }
    if (className) {
      node.className = className;
    }
    return into.appendChild(node);
  }

  /* The arrows walk from the words to the results and back; Escape closes, and leaves one in the words. */
  function walk(event) {
    var links = Array.prototype.slice.call(list.querySelectorAll("a"));
    var here = links.indexOf(document.activeElement);
    if (event.key === "Escape" && !panel.hidden) {
      input.focus();
      close();
    } else if (links.length && !panel.hidden && (event.key === "ArrowDown" || (event.key === "Enter" && here < 0))) {
      links[Math.min(here + 1, links.length - 1)].focus();
    } else if (here >= 0 && event.key === "ArrowUp") {
      (links[here - 1] || input).focus();
    } else {
      return;
    }
    event.preventDefault();
  }

  input.addEventListener("focus", open);
  input.addEventListener("input", function () {
    open();
    answer();
  });
  box.addEventListener("keydown", walk);
  list.addEventListener("click", close);
  document.addEventListener("focusin", function (event) {
    if (!box.contains(event.target)) {
      close();
    }
  });
  document.addEventListener("click", function (event) {
    if (!box.contains(event.target)) {
      close();
    }
  });
})();
