/* Search without a server: in the words of all pages (search_index.js), which are loaded when the search is first opened. */
(function () {
  "use strict";

  var MOST = 20;
  var MOST_OF_A_PAGE = 3;
  var ROUND = 8;
  var vocabularies = new WeakMap();
  /* Letters that are no letter with a sign on it, so that taking signs off leaves them as they are. */
  var SPELT = { "ß": "ss", "æ": "ae", "œ": "oe", "ø": "o", "ł": "l", "đ": "d", "ð": "d", "þ": "th", "ı": "i" };

  /* A text as it is compared: small letters without accents; the digits of a number together, whatever stands between. */
  function folded(text) {
    return text.replace(/(\d)[\u00a0\u202f](?=\d{3}(?!\d))/g, "$1").normalize("NFKD").replace(/[\u0300-\u036f]/g, "").toLowerCase()
      .replace(/[ßæœøłđðþı]/g, function (letter) { return SPELT[letter]; });
  }

  /* What is looked for: "1 000 psi" is 1000 and psi. Signs round a word count for nothing, those within it do. */
  function wordsOf(query) {
    return folded(query).replace(/(\d) (?=\d{3}(?!\d))/g, "$1").split(/\s+/).map(function (word) {
      return word.replace(/^[^\p{L}\p{N}]+|[^\p{L}\p{N}]+$/gu, "");
    }).filter(Boolean);
  }

  /* A word of the query as it begins a word of a text, without its ending ("change" finds "changing"), and as it is the whole of one. */
  function asPatterns(word) {
    var stem = word.replace(/^(\p{L}{4,}?)(?:ing|ed|es|e|s)$/u, "$1");
    var before = "(?:^|[^\\p{L}\\p{N}])";
    return {
      bare: stem,
      stem: asSource(stem),
      begins: new RegExp(before + asSource(stem), "u"),
      whole: new RegExp(before + asSource(word) + "(?![\\p{L}\\p{N}])", "u")
    };
  }

  /* The source of a pattern for a text as it stands; hyphens are alike. */
  function asSource(text) {
    return text.replace(/[.*+?^${}()|[\]\\/]/g, "\\$&").replace(/[-\u2010\u2011]/g, "[-\u2010\u2011]");
  }

  /* How well a text answers: more where the word stands whole than where it only begins so; 0 where it is not there. */
  function weight(text, word) {
    return !word.begins.test(text) ? 0 : word.whole.test(text) ? 2 : 1;
  }

  function folding(page) {
    var names = folded([page.title, page.code].concat(page.called).join(" \n "));
    return {
      page: page,
      names: names,
      about: folded(page.summary + " " + page.machines.join(" ")),
      sections: page.sections.map(function (section) {
        return { anchor: section[0], heading: section[1], text: section[2], inHeading: folded(section[1]), inText: folded(section[2]) };
      })
    };
  }

  /* Names count most, then headings, then the text; words that stand together as they were typed count more than scattered ones. */
  function scoreOf(entry, section, words, together) {
    var score = together === null ? 0 : 16 * together.test(entry.names) + 14 * together.test(section.inHeading) + 12 * together.test(section.inText);
    for (var i = 0; i < words.length; i += 1) {
      var name = weight(entry.names, words[i]);
      var heading = weight(section.inHeading, words[i]);
      var text = weight(section.inText, words[i]);
      if (!name && !heading && !text && !weight(entry.about, words[i])) {
        return 0;
      }
      score += 1 + 6 * name + 4 * heading + 2 * text;
    }
    return score;
  }

  /* The parts of pages in which all words stand, best first; a page as a whole where no part has all of them. Where there is
     nothing, a word that no page has is read as the one that differs from it by one letter: instead says which. */
  function find(index, query) {
    var typed = wordsOf(query);
    var found = findWords(index, typed);
    if (found.hits.length || !typed.length) {
      return found;
    }
    var meant = corrected(index, typed);
    return meant.join(" ") === typed.join(" ") ? found : Object.assign(findWords(index, meant), { instead: meant.join(" ") });
  }

  function corrected(index, typed) {
    var known = vocabularyOf(index);
    return typed.map(function (word) {
      /* A number is never taken for another. */
      var isSure = !/^\p{L}{4,}$/u.test(word) || known.some(function (each) { return each.indexOf(asPatterns(word).bare) === 0; });
      return isSure ? word : known.filter(function (each) { return differsByOne(word, each); })[0] || word;
    });
  }

  /* All words of letters of an index, the most frequent first. */
  function vocabularyOf(index) {
    if (!vocabularies.has(index)) {
      var counts = new Map();
      index.forEach(function (entry) {
        [entry.names, entry.about].concat(entry.sections.map(function (section) { return section.inHeading + " " + section.inText; })).forEach(function (text) {
          (text.match(/\p{L}{3,}/gu) || []).forEach(function (word) { counts.set(word, (counts.get(word) || 0) + 1); });
        });
      });
      vocabularies.set(index, Array.from(counts.keys()).sort(function (one, other) {
        return counts.get(other) - counts.get(one) || (one < other ? -1 : 1);
      }));
    }
    return vocabularies.get(index);
  }

  /* Whether two words differ by one letter: another, missing, too many, or two that changed places. */
  function differsByOne(one, other) {
    var start = 0;
    while (start < one.length && one[start] === other[start]) {
      start += 1;
    }
    var left = one.slice(start);
    var right = other.slice(start);
    return left.slice(1) === right.slice(1) || left.slice(1) === right || left === right.slice(1) ||
      (left.slice(2) === right.slice(2) && left[0] === right[1] && left[1] === right[0]);
  }

  function findWords(index, typed) {
    var words = typed.map(asPatterns);
    if (!words.length) {
      return { words: words, hits: [] };
    }
    var together = words.length > 1 ? new RegExp(words.map(function (word) { return word.stem; }).join("\\p{L}*[^\\p{L}\\p{N}]+"), "u") : null;
    var hits = hitsIn(index, words, together);
    return { words: words, hits: hits.length ? hits : hitsIn(index.map(asOnePart), words, together) };
  }

  function hitsIn(index, words, together) {
    var hits = [];
    index.forEach(function (entry) {
      var own = [];
      entry.sections.forEach(function (section, order) {
        var score = scoreOf(entry, section, words, together);
        if (score) {
          own.push({ entry: entry, section: section, order: order, score: score });
        }
      });
      own.sort(function (one, other) { return other.score - one.score || one.order - other.order; });
      hits = hits.concat(own.slice(0, MOST_OF_A_PAGE));
    });
    return hits.sort(function (one, other) {
      return other.score - one.score || Boolean(one.entry.page.last) - Boolean(other.entry.page.last) || (one.entry.page.page < other.entry.page.page ? -1 : one.entry.page.page > other.entry.page.page ? 1 : one.order - other.order);
    });
  }

  function asOnePart(entry) {
    function all(key) {
      return entry.sections.map(function (section) { return section[key]; }).join(" ");
    }
    var part = { anchor: "", heading: "", text: all("text"), inHeading: all("inHeading"), inText: all("inText") };
    return { page: entry.page, names: entry.names, about: entry.about, sections: [part] };
  }

  /* Some words of a text, from shortly before the place where most of what was looked for stands together, and that marked. */
  function addExcerpt(into, text, words) {
    var all = text.split(" ");
    var found = all.map(function (word) {
      var inFold = folded(word);
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

  window.yokebookSearch = {
    find: function (pages, query) {
      return find(pages.map(folding), query).hits.map(function (hit) { return hit.entry.page.page + (hit.section.anchor ? "#" + hit.section.anchor : ""); });
    }
  };

  /* From here on: the page itself. */

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
        index = window.yokebookSearchIndex.map(folding);
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
    var found = find(index, input.value);
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
    link.href = base + page.page + (hit.section.anchor ? "#" + hit.section.anchor : "");
    var withdrawn = ((window.yokebookEditions || {}).withdrawn || {})[page.code];
    if (page.code) {
      add(line, "span", " " + page.code + (withdrawn ? ", withdrawn from " + withdrawn.on + " on" : ""), "yb-search__code");
    }
    addExcerpt(add(line, "p", ""), hit.section.text || page.summary, words);
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
