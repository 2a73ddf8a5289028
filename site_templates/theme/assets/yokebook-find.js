/* What the search finds: the parts of pages in which all words of a query stand. It knows nothing of the page that it is on. */
(function () {
  "use strict";

  var MOST_OF_A_PAGE = 3;
  var vocabularies = new WeakMap();
  /* Letters that are no letter with a sign on it, so that taking signs off leaves them as they are. */
  var SPELT = { "ß": "ss", "æ": "ae", "œ": "oe", "ø": "o", "ł": "l", "đ": "d", "ð": "d", "þ": "th", "ı": "i" };
  /* Gases as chemistry writes them, and as pages name them; He begins helium already. */
  var FORMULAS = { o2: "oxygen", n2o: "nitrous oxide", co2: "carbon dioxide", n2: "nitrogen" };

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
     nothing, a word that no page has is read as what it was perhaps meant for: instead says as what. */
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
    return wordsOf(typed.map(function (word) { return isKnown(index, word) ? word : meantBy(index, word); }).join(" "));
  }

  function isKnown(index, word) {
    var begins = asPatterns(word).begins;
    return index.some(function (entry) {
      return begins.test(entry.names) || begins.test(entry.about) ||
        entry.sections.some(function (section) { return begins.test(section.inHeading) || begins.test(section.inText); });
    });
  }

  /* A gas for its formula, a point for a comma, "cyl-07" for "cyl7", or the word of a page that differs by one letter. A
     number is never taken for another. */
  function meantBy(index, word) {
    var number = /^(\p{L}{2,6})(\d{1,3})$/u.exec(word);
    if (Object.prototype.hasOwnProperty.call(FORMULAS, word)) {
      return FORMULAS[word];
    }
    if (number) {
      return number[1] + "-" + number[2].padStart(2, "0");
    }
    if (!/^\p{L}{4,}$/u.test(word)) {
      return word.replace(/^(\d+),(\d+)$/, "$1.$2");
    }
    return vocabularyOf(index).filter(function (each) { return differsByOne(word, each); })[0] || word;
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

  /* Where a hit is, from the folder of all pages. */
  function addressOf(hit) {
    return hit.entry.page.page + (hit.section.anchor ? "#" + hit.section.anchor : "");
  }

  window.yokebookFind = { folded: folded, folding: folding, find: find, addressOf: addressOf };
})();
