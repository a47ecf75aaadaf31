#include "stillwell/config/document.hpp"

#include "stillwell/config/near_miss.hpp"
#include "stillwell/config/utf8.hpp"

#include <array>

#include "support/catch.hpp"

using namespace stillwell::config;

namespace {

struct Refused {
  const char* text;
  int line;
  int column;
  const char* says;
};

std::vector<Problem> problems_of(const std::string& text) {
  Problems problems("test.yaml");
  (void)read_document(text, problems);
  return problems.sorted();
}

}  // namespace

TEST_CASE("document: what YAML offers and a configuration must not use is refused at its place",
          "[config][yaml]") {
  const std::array cases{
      Refused{"a: &x 1\nb: 2\n", 1, 4, "anchors"},
      Refused{"a: 1\nb: [1, 2]\nc: &x [1]\nd: *x\n", 3, 4, "anchors"},
      Refused{"a: !thing 1\n", 1, 4, "tags (!thing)"},
      Refused{"a: !!str 1\n", 1, 4, "tags"},
      Refused{"<<: { a: 1 }\n", 1, 1, "merge keys"},
      Refused{"? [a]\n: b\n", 1, 3, "single word"},
      Refused{"a: 1\nb: 2\na: 3\n", 3, 1, "duplicate key; it already stands in line 1"},
      Refused{"top:\n  a: 1\n  a: 2\n", 3, 3, "duplicate key"},
      Refused{"a: 1\n---\nb: 2\n", 2, 1, "second document"},
      Refused{"a: 1\n---\n", 2, 1, "second document"},
      Refused{"a: [1,\nb: 2\n", 1, 4, "the [ that opens here is not closed before line 3, column 1"},
      Refused{"a: 1\n  b: 2\n", 2, 4, "not YAML"},
      Refused{"\t a: 1\n", 1, 1, "a tab stands in the indentation"},
      Refused{"a: *nope\n", 1, 4, "not YAML"},
      Refused{"a:\n  b: 1\n\tc: 2\n", 3, 1, "a tab stands in the indentation"},
      Refused{"a:\n  b: 1\n  \t  c: 2\n", 3, 3, "a tab stands in the indentation"},
      Refused{"a: { b: 1, c: 2\nd: 3\n", 1, 4, "the { that opens here is not closed before line 2"},
      Refused{"a: { b: { c: 1 }\nd: 3\n", 1, 4, "write its }"},
      Refused{"a: { b: [1, 2 }\n", 1, 15, "or is of the other kind"},
      Refused{"a: 1 }\nb: ]\n", 2, 4, "its opening one is missing"},
      Refused{"a: { b: \"x\" c: 1 }\n", 1, 4, "or the comma or quote that is missing"},
      Refused{"a: \"open\nb: 1\n", 1, 4, "quote that opens here is not closed on its line"},
      Refused{"a: { b: 'open }\n# a word's end\nc: 1\n", 1, 9, "quote that opens here is not closed"},
      Refused{"a: \"closed\\\" no\nb: 1\n", 1, 4, "quote that opens here is not closed"},
      Refused{"a: 'closed'' no\nb: 1\n", 1, 4, "quote that opens here is not closed"},
      Refused{"a:\n  b: 1  # one\n  c:2  # two\n  d: 3\n", 3, 3, "with a space after the colon"},
      Refused{"a: b: c\n", 1, 5, "a colon where no key can stand"},
      Refused{"a: { d: 2,4 m }\n", 1, 9, "'2,4 m' has a comma in its number; write 2.4 m"},
      Refused{"a: { d: 1,000 L, e: 2 }\n", 1, 9, "write 1.000 L, or 1000 L if thousands are meant"},
      Refused{"- a\n- b\n", 1, 1, "expected keys"},
      Refused{"just a text\n", 1, 1, "expected keys"},
      Refused{"a: 1\nb: \xFF\n", 2, 4, "UTF-8"},
      Refused{"", 0, 0, "empty"},
      Refused{"# only a comment\n", 0, 0, "empty"},
  };
  for (const Refused& refused : cases) {
    INFO(refused.text);
    const auto problems = problems_of(refused.text);
    REQUIRE_FALSE(problems.empty());
    CHECK(problems[0].line == refused.line);
    CHECK(problems[0].column == refused.column);
    CHECK(problems[0].text.find(refused.says) != std::string::npos);
  }
}

TEST_CASE("document: a slip is told once, and what is right is left alone", "[config][yaml]") {
  for (const char* slip :
       {"a: { d: 2,4 m, e: 1 }\n", "a: \"open\nb: 'c'\n", "a: { b: \"open }\nc: \"d\"\n"}) {
    INFO(slip);
    CHECK(problems_of(slip).size() == 1);
  }
  for (const char* fine : {"a: \"it's\"\n", "a: 'say \"no\"'\n", "a: 'it''s'\n", "a: \"a\\\"b\"\n",
                           "a: { b: 2, c: 4 m }\n", "a: { b: 9600,c: 1 }\n", "a: { b: 2,\n  c: 3 }\n",
                           "a: [2,4]\n", "a: [819,0 m]\n", "a: { b: 2, 4 m }\n"}) {
    INFO(fine);
    CHECK(problems_of(fine).empty());
  }
  Problems problems("test.yaml");
  const auto root = read_document("a: { d: 2,4 m, e: 1 }\n", problems);
  REQUIRE(root);
  REQUIRE(root->entries[0].value.entries.size() == 2);
  CHECK(root->entries[0].value.entries[0].value.text == "2.4 m");
}

TEST_CASE("document: an alias is told and not followed", "[config][yaml]") {
  const auto problems = problems_of("a: &x [1, 2]\nb: *x\n");
  REQUIRE(problems.size() == 2);
  CHECK(problems[1].line == 2);
  CHECK(problems[1].column == 4);
  CHECK(problems[1].path == "b");
}

TEST_CASE("document: a bomb of aliases costs nothing but its own bytes", "[config][yaml]") {
  std::string bomb = "a0: &a0 [x, x, x, x, x, x, x, x, x, x]\n";
  for (int i = 1; i < 30; ++i) {
    const std::string below = "*a" + std::to_string(i - 1);
    bomb += "a" + std::to_string(i) + ": &a" + std::to_string(i) + " [" + below;
    for (int k = 0; k < 9; ++k)
      bomb += ", " + below;
    bomb += "]\n";
  }
  CHECK(problems_of(bomb).size() == 101);  // the first hundred and a count of the rest
  CHECK_FALSE(problems_of("&a [*a]\n").empty());
}

TEST_CASE("document: too large, too deep and too many are bounded", "[config][yaml]") {
  const auto large = problems_of(std::string(kLargestFile + 1, '#'));
  REQUIRE(large.size() == 1);
  CHECK(large[0].text.find("256 kB") != std::string::npos);

  const auto deep = problems_of("a: " + std::string(40, '[') + std::string(40, ']') + "\nb: 1\n");
  REQUIRE(deep.size() == 1);
  CHECK(deep[0].text.find("deeper") != std::string::npos);
  CHECK_FALSE(problems_of(std::string(100'000, '[')).empty());

  std::string many;
  for (int i = 0; i < 1002; ++i)
    many += "k" + std::to_string(i) + ": 1\n";
  const auto keys = problems_of(many);
  REQUIRE(keys.size() == 1);
  CHECK(keys[0].line == 1001);
  CHECK(keys[0].text.find("more than 1000 keys") != std::string::npos);
}

TEST_CASE("document: keys keep their order and their places", "[config][yaml]") {
  Problems problems("test.yaml");
  const auto root = read_document("b: 'two'\na:\n  c: 3\nd:\n", problems);
  REQUIRE(root);
  CHECK(problems.none());
  REQUIRE(root->entries.size() == 3);
  CHECK(root->entries[0].key == "b");
  CHECK(root->entries[0].value.quoted);
  CHECK(root->entries[0].value.place.column == 4);
  CHECK(root->entries[1].value.entries[0].place.line == 3);
  CHECK(root->entries[2].value.type == Item::Type::nothing);
  CHECK(root->entries[2].value.place.line == 4);  // the parser's own mark is a line too far
}

TEST_CASE("near miss: the distance counts letters inserted, removed, replaced and swapped", "[config]") {
  CHECK(edit_distance("", "") == 0);
  CHECK(edit_distance("", "abc") == 3);
  CHECK(edit_distance("kitten", "sitting") == 3);  // the classic example of Levenshtein distance
  CHECK(edit_distance("to_flor", "to_floor") == 1);
  CHECK(edit_distance("gauge", "guage") == 1);  // two neighbours swapped
  CHECK(edit_distance("stop_at", "start_at") == 3);
}

TEST_CASE("near miss: something far from every key is not guessed at", "[config]") {
  const std::array<std::string_view, 3> keys{"to_floor", "to_full", "full"};
  CHECK(nearest("to_flor", keys) == "to_floor");
  CHECK(nearest("fill", keys) == "full");
  CHECK_FALSE(nearest("colour", keys));
  CHECK_FALSE(nearest(std::string(500, 'x'), keys));
  CHECK(suggestion("colour", keys) == "expected one of: to_floor, to_full, full");
}

TEST_CASE("utf-8: well-formed text passes and the first bad byte is placed", "[config]") {
  CHECK_FALSE(first_bad_character("plain"));
  CHECK_FALSE(first_bad_character("\xC3\xA9 \xE2\x82\xAC \xF0\x9F\x92\xA7"));
  // RFC 3629, section 10: overlong forms; section 3: surrogates; 0x110000 and above.
  for (const char* bad :
       {"\xC0\x80", "\xE0\x80\xAF", "\xED\xA0\x80", "\xF4\x90\x80\x80", "\xC3", "\x80", "\xE2\x82"}) {
    const auto place = first_bad_character(std::string("\xC3\xA9\n\xC3\xA9") + bad);
    REQUIRE(place);
    CHECK(place->line == 2);
    CHECK(place->column == 2);
  }
}
