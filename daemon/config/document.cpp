#include "stillwell/config/document.hpp"

#include "stillwell/config/decimal_comma.hpp"
#include "stillwell/config/utf8.hpp"
#include "stillwell/config/yaml_slips.hpp"

#include <algorithm>
#include <sstream>

#include <yaml-cpp/eventhandler.h>
#include <yaml-cpp/exceptions.h>
#include <yaml-cpp/mark.h>
#include <yaml-cpp/parser.h>

namespace stillwell::config {
namespace {

constexpr std::size_t kDeepest = 16;     // the grammar needs six
constexpr std::size_t kMostKeys = 1000;  // of one map; no serial line carries as many things

/// yaml-cpp counts from 0.
Place place_of(const YAML::Mark& mark) {
  return {mark.line + 1, mark.column + 1};
}

/// "?" is the tag of a plain scalar or an untagged collection, "!" that of a quoted scalar.
bool is_own_tag(const std::string& tag) {
  return tag.empty() || tag == "?" || tag == "!";
}

Item item_at(Place place, Item::Type type) {
  Item item;
  item.place = place;
  item.type = type;
  return item;
}

/// Builds the tree from the parser's events, so that an alias is seen instead of followed.
class TreeBuilder final : public YAML::EventHandler {
 public:
  TreeBuilder(std::string_view text, Problems& problems) : text_{text}, problems_{problems} {}

  Item take() { return std::move(root_); }

  /// Told already. Whatever the parser finds behind it is nonsense.
  [[nodiscard]] bool met_open_quote() const { return met_open_quote_; }

  [[nodiscard]] std::optional<OpenBracket> open_bracket() const {
    const auto last = std::find_if(open_.rbegin(), open_.rend(), [](const Open& open) { return open.flow; });
    if (last == open_.rend()) return {};
    return OpenBracket{last->item.place, last->item.type == Item::Type::map};
  }

  void OnDocumentStart(const YAML::Mark& /*mark*/) override {}
  void OnDocumentEnd() override {}

  void OnNull(const YAML::Mark& mark, YAML::anchor_t anchor) override {
    refuse_extras(mark, anchor, {});
    put(item_at(place_of_nothing(mark), Item::Type::nothing));
  }

  void OnAlias(const YAML::Mark& mark, YAML::anchor_t /*anchor*/) override {
    tell(place_of(mark), "aliases (*name) are not allowed here: write the value out");
    put(item_at(place_of(mark), Item::Type::nothing));
  }

  void OnScalar(const YAML::Mark& mark, const std::string& tag, YAML::anchor_t anchor,
                const std::string& value) override {
    refuse_extras(mark, anchor, tag);
    Item scalar = item_at(place_of(mark), Item::Type::scalar);
    scalar.text = value;
    scalar.quoted = tag == "!";
    if (scalar.quoted && !quote_is_closed(text_, scalar.place)) refuse_open_quote(scalar.place);
    put(std::move(scalar));
  }

  void OnSequenceStart(const YAML::Mark& mark, const std::string& tag, YAML::anchor_t anchor,
                       YAML::EmitterStyle::value style) override {
    refuse_extras(mark, anchor, tag);
    open(item_at(place_of(mark), Item::Type::list), style);
  }
  void OnSequenceEnd() override { close(); }

  void OnMapStart(const YAML::Mark& mark, const std::string& tag, YAML::anchor_t anchor,
                  YAML::EmitterStyle::value style) override {
    refuse_extras(mark, anchor, tag);
    open(item_at(place_of(mark), Item::Type::map), style);
  }
  void OnMapEnd() override { close(); }

 private:
  /// A collection that is not finished yet, and the key that waits for its value.
  struct Open {
    Item item;
    std::optional<Entry> pending;
    std::string path;
    bool flow = false;  ///< written with brackets
  };

  void tell(Place place, std::string text) { problems_.add(place, path(), std::move(text)); }

  [[nodiscard]] std::string path() const {
    if (open_.empty()) return {};
    const Open& top = open_.back();
    return top.pending ? Spot{{}, top.path}.under(top.pending->key) : top.path;
  }

  /// An empty value is marked where the next word begins, which is a line too far; its key is what to look
  /// at.
  [[nodiscard]] Place place_of_nothing(const YAML::Mark& mark) const {
    const bool has_key = !open_.empty() && open_.back().pending;
    return has_key ? open_.back().pending->place : place_of(mark);
  }

  void refuse_extras(const YAML::Mark& mark, YAML::anchor_t anchor, const std::string& tag) {
    if (anchor != 0) tell(place_of(mark), "anchors (&name) are not allowed here: write the value out");
    if (!is_own_tag(tag)) tell(place_of(mark), "tags (" + tag + ") are not allowed here: remove it");
  }

  void refuse_open_quote(Place place) {
    if (!met_open_quote_) tell(place, "the quote that opens here is not closed on its line: close it");
    met_open_quote_ = true;
  }

  void open(Item item, YAML::EmitterStyle::value style) {
    if (open_.size() == kDeepest) {
      if (!too_deep_) tell(item.place, "nested deeper than any key of a configuration");
      too_deep_ = true;
    }
    std::string here = path();
    open_.push_back({std::move(item), {}, std::move(here), style == YAML::EmitterStyle::Flow});
  }

  void close() {
    Item done = std::move(open_.back().item);
    open_.pop_back();
    if (open_.size() >= kDeepest)
      done = item_at(done.place, Item::Type::nothing);  // told above; its inside is worth no memory
    put(std::move(done));
  }

  void put(Item item) {
    if (open_.empty()) {
      root_ = std::move(item);
      return;
    }
    Open& top = open_.back();
    if (top.item.type == Item::Type::list) {
      top.item.items.push_back(std::move(item));
    } else if (!top.pending) {
      begin_entry(top, std::move(item));
    } else {
      end_entry(top, std::move(item));
    }
  }

  void begin_entry(Open& top, Item key) {
    if (key.type != Item::Type::scalar) tell(key.place, "a key must be a single word");
    if (key.text == "<<") tell(key.place, "merge keys (<<) are not supported: write the values out");
    top.pending = Entry{std::move(key.text), key.place, {}};
  }

  /// "2,4 m" in braces falls apart into a value 2 and a key "4 m" without a value. Told and put together.
  bool mend_decimal_comma(Open& top) {
    if (!top.flow || top.item.entries.empty()) return false;
    Entry& last = top.item.entries.back();
    Item& before = last.value;
    const Place& after = top.pending->place;
    const bool adjacent = before.type == Item::Type::scalar && after.line == before.place.line &&
                          after.column == before.place.column + static_cast<int>(before.text.size()) + 1;
    const std::string whole = before.text + "," + top.pending->key;
    const auto mended = adjacent ? with_point(whole) : std::nullopt;
    if (!mended) return false;
    problems_.add(before.place, Spot{{}, top.path}.under(last.key), about_comma(whole));
    before.text = *mended;
    return true;
  }

  /// Of two equal keys the first one counts: the parser itself would keep both without a word.
  void end_entry(Open& top, Item value) {
    if (value.type == Item::Type::nothing && mend_decimal_comma(top)) {
      // it is no key
    } else if (const Entry* first = top.item.find(top.pending->key)) {
      problems_.add(top.pending->place, path(),
                    "duplicate key; it already stands in line " + std::to_string(first->place.line));
    } else if (top.item.entries.size() == kMostKeys) {
      if (!too_many_) tell(top.pending->place, "more than " + std::to_string(kMostKeys) + " keys in one map");
      too_many_ = true;
    } else {
      top.pending->value = std::move(value);
      top.item.entries.push_back(std::move(*top.pending));
    }
    top.pending.reset();
  }

  std::string_view text_;
  Problems& problems_;
  Item root_;
  std::vector<Open> open_;
  bool too_deep_ = false;
  bool too_many_ = false;
  bool met_open_quote_ = false;
};

/// Says where the parser's next document would begin.
class SecondDocument final : public YAML::EventHandler {
 public:
  std::optional<Place> begins;

  void OnDocumentStart(const YAML::Mark& mark) override { begins = place_of(mark); }
  void OnDocumentEnd() override {}
  void OnNull(const YAML::Mark& /*mark*/, YAML::anchor_t /*anchor*/) override {}
  void OnAlias(const YAML::Mark& /*mark*/, YAML::anchor_t /*anchor*/) override {}
  void OnScalar(const YAML::Mark& /*mark*/, const std::string& /*tag*/, YAML::anchor_t /*anchor*/,
                const std::string& /*value*/) override {}
  void OnSequenceStart(const YAML::Mark& /*mark*/, const std::string& /*tag*/, YAML::anchor_t /*anchor*/,
                       YAML::EmitterStyle::value /*style*/) override {}
  void OnSequenceEnd() override {}
  void OnMapStart(const YAML::Mark& /*mark*/, const std::string& /*tag*/, YAML::anchor_t /*anchor*/,
                  YAML::EmitterStyle::value /*style*/) override {}
  void OnMapEnd() override {}
};

/// False when the parser gave up.
bool parse_into(TreeBuilder& builder, std::string_view text, Problems& problems) {
  std::istringstream stream{std::string(text)};
  try {
    YAML::Parser parser(stream);
    if (!parser.HandleNextDocument(builder)) {
      problems.add({}, {}, "the file is empty");
      return false;
    }
    SecondDocument second;
    if (parser.HandleNextDocument(second)) {
      problems.add(second.begins.value_or(Place{}), {},
                   "a second document begins here: a configuration is one document, remove the '---'");
    }
    return !builder.met_open_quote();
  } catch (const YAML::Exception& error) {
    if (builder.met_open_quote()) return false;
    const Slip slip = explain(text, {place_of(error.mark), error.msg}, builder.open_bracket());
    problems.add(slip.place, {}, "this is not YAML: " + slip.text);
  } catch (const std::exception& error) {
    problems.add({}, {}, std::string("this is not YAML: ") + error.what());
  }
  return false;
}

}  // namespace

const Entry* Item::find(std::string_view key) const {
  const auto found =
      std::find_if(entries.begin(), entries.end(), [&](const Entry& e) { return e.key == key; });
  return found == entries.end() ? nullptr : &*found;
}

std::optional<Item> read_document(std::string_view text, Problems& problems) {
  if (text.size() > kLargestFile) {
    problems.add({}, {},
                 "larger than " + std::to_string(kLargestFile / 1024) + " kB: this is no configuration");
    return {};
  }
  if (const auto place = first_bad_character(text)) {
    problems.add(*place, {}, "a byte that is not UTF-8: save the file as UTF-8");
    return {};
  }
  TreeBuilder builder(text, problems);
  if (!parse_into(builder, text, problems)) return {};
  Item root = builder.take();
  if (root.type != Item::Type::map) {
    problems.add(root.place, {}, "expected keys such as 'site:' at the beginning of the file");
    return {};
  }
  return root;
}

}  // namespace stillwell::config
