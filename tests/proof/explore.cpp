#include "proof/explore.hpp"

#include <algorithm>
#include <cmath>
#include <sstream>

namespace proof {
namespace {

using support::Digest;

/// The machine and its watcher.
struct Scene {
  PumpMemory memory;
  support::PumpWatch watch;
  Instant now{std::chrono::hours{1000}};
  std::size_t number = 0;  ///< in the order in which states were found
};

#if defined(__x86_64__) && defined(__GLIBCXX__)
// A member that is new here changes this: then add_to() below must know it, or must say why it need not.
static_assert(sizeof(PumpMemory) == 512);
#endif

/// All of it but the counters (run_time, start_count, started_at, stopped_at) and the story (last_start,
/// last_stop of a pump that has begun its rest anew is in), on which nothing depends.
void add_to(Digest& digest, const Pump& pump, const PumpMemory& memory) {
  digest.add(memory.mode);
  if (memory.mode == Mode::hand) {
    digest.add(memory.after_hand);
    digest.add_ahead(memory.hand_until);
  }
  for (const bool flag :
       {memory.in_hand, memory.had_enough, memory.out_of_service, memory.demand, memory.source_is_low,
        memory.is_high, memory.tripped, memory.proved_off, memory.proved_on, memory.off_by_network,
        memory.reset_by_network, memory.blind, memory.isolator_lost, memory.released, memory.moves_unasked,
        memory.was_closed, memory.isolator_was_closed})
    digest.add(flag);
  digest.add(memory.order);
  digest.add(memory.isolator);
  digest.add_age(memory.ordered_at);
  digest.add_age(memory.isolator_at);
  digest.add_age(memory.began);
  digest.add_age(memory.last_stop);
  digest.add_age(memory.noted_start);
  if (pump.limits.starts_per_hour > 0) digest.add_starts(memory.starts);
  for (const Delay& delay : {memory.doubt, memory.deviation, memory.unasked, memory.isolator_doubt,
                             memory.dry_run.idle, memory.dry_run.trickle})
    digest.add(delay);
  if (memory.unasked_mark) {
    digest.add_age(memory.unasked_mark->at);
    digest.add(Duration{std::llround(memory.unasked_mark->level.value() * 1e4)});
  }
  digest.add(memory.feedback_failures);
  digest.add(memory.dry_run.failures);
  digest.add(memory.dry_run.cause);
  digest.add_ahead(memory.dry_run.rests_until);
  if (pump.when_unknown)
    digest.add_periodic(memory.unknown_since, std::chrono::minutes{1}, pump.when_unknown->every);
  for (const auto& cause : {memory.lock_out, memory.first_out, memory.refusal})
    digest.add(cause);
}

std::string digest_of(const Machine& machine, const Scene& scene) {
  Digest digest{scene.now, machine.horizon};
  add_to(digest, machine.pump, scene.memory);
  scene.watch.add_to(digest);
  return digest.bytes();
}

/// What one wire shows of an order.
std::optional<bool> seen(Shows shows, Order order) {
  if (shows == Shows::nothing) return std::nullopt;
  return (order == Order::on) != (shows == Shows::contrary);
}

SwitchState switch_of(const std::optional<bool>& on) {
  return {on, on ? Reason::none : Reason::no_answer, {}};
}

ContactSample contact_of(Shows shows, Order order, Instant ordered_at, Instant now) {
  const auto on = seen(shows, order);
  if (!on) return {now, {}, Reason::no_answer};
  return {shows == Shows::late ? ordered_at - std::chrono::milliseconds{1} : now, on, Reason::none};
}

/// One letter of the alphabet.
struct Letter {
  Level tank;
  Level far_end;
  std::optional<FloatStates> floats;
  Shows contact{};
  Shows motor{};
  Shows flow{};
  Shows load{};
  Shows isolator{};
  std::optional<bool> panel_off;
  std::optional<bool> panel_hand;
  bool is_out = false;
  bool is_helped = false;
  bool peer_is_dry = false;
  bool has_needs = true;
  bool may_join = true;
  std::optional<Duration> disk;
  std::optional<int> minute;
  Person person{};
  Duration later{};
};

template <class T>
std::vector<Letter> with(const std::vector<Letter>& letters, T Letter::*member,
                         const std::vector<T>& values) {
  std::vector<Letter> all;
  for (const Letter& letter : letters) {
    for (const auto& value : values) {
      all.push_back(letter);
      all.back().*member = value;
    }
  }
  return all;
}

std::vector<Letter> letters_of(const Alphabet& alphabet) {
  std::vector<Letter> letters{{}};
  letters = with(letters, &Letter::tank, alphabet.tank);
  letters = with(letters, &Letter::far_end, alphabet.far_end);
  letters = with(letters, &Letter::floats, alphabet.floats);
  letters = with(letters, &Letter::contact, alphabet.contact);
  letters = with(letters, &Letter::motor, alphabet.motor);
  letters = with(letters, &Letter::flow, alphabet.flow);
  letters = with(letters, &Letter::load, alphabet.load);
  letters = with(letters, &Letter::isolator, alphabet.isolator);
  letters = with(letters, &Letter::panel_off, alphabet.panel_off);
  letters = with(letters, &Letter::panel_hand, alphabet.panel_hand);
  letters = with(letters, &Letter::is_out, alphabet.is_out);
  letters = with(letters, &Letter::is_helped, alphabet.is_helped);
  letters = with(letters, &Letter::peer_is_dry, alphabet.peer_is_dry);
  letters = with(letters, &Letter::has_needs, alphabet.has_needs);
  letters = with(letters, &Letter::may_join, alphabet.may_join);
  letters = with(letters, &Letter::disk, alphabet.disk);
  letters = with(letters, &Letter::minute, alphabet.minute);
  letters = with(letters, &Letter::person, alphabet.person);
  return with(letters, &Letter::later, alphabet.later);
}

std::string text_of(const Letter& letter) {
  std::ostringstream text;
  const auto level = [&](const Level& one) {
    if (one.usable())
      text << one.level->value() << "~" << one.uncertainty.value();
    else
      text << "?";
  };
  text << "[tank ";
  level(letter.tank);
  text << " far ";
  level(letter.far_end);
  for (const auto& [name, shows] : {std::pair{" contact", letter.contact},
                                    {" motor", letter.motor},
                                    {" flow", letter.flow},
                                    {" load", letter.load},
                                    {" isolator", letter.isolator}})
    if (shows != Shows::as_ordered) text << name << static_cast<int>(shows);
  if (letter.is_out) text << " out";
  if (letter.person != Person::nobody) text << " person" << static_cast<int>(letter.person);
  if (letter.disk) text << " disk" << seconds_of(*letter.disk);
  if (letter.minute) text << " minute" << *letter.minute;
  text << " +" << seconds_of(letter.later) << "s]";
  return text.str();
}

PumpInputs inputs_of(const Machine& machine, const Scene& scene, const Letter& letter) {
  const Pump& pump = machine.pump;
  const PumpMemory& memory = scene.memory;
  PumpInputs in{.tank = letter.tank};
  in.now = scene.now + letter.later;
  in.floats = letter.floats;
  if (pump.source) in.source = letter.far_end;
  if (pump.receiver) in.receiver = letter.far_end;
  in.contact = contact_of(letter.contact, memory.order, memory.ordered_at, in.now);
  if (pump.feedback) in.feedback = switch_of(seen(letter.motor, memory.order));
  if (pump.dry_run.flow) in.flow = switch_of(seen(letter.flow, memory.order));
  if (pump.dry_run.power) {
    const auto runs = seen(letter.load, memory.order);
    in.load = runs ? support::takes(*runs ? 800.0 : 0.0) : support::meter_lost();
  }
  if (pump.isolator) in.isolator = contact_of(letter.isolator, memory.isolator, memory.isolator_at, in.now);
  if (pump.selector.off) in.selector_off = switch_of(letter.panel_off);
  if (pump.selector.hand) in.selector_hand = switch_of(letter.panel_hand);
  in.is_out = letter.is_out;
  in.is_released = memory.released;
  in.is_helped = letter.is_helped;
  in.peer_is_dry = letter.peer_is_dry;
  in.has_needs = letter.has_needs;
  in.may_join = letter.may_join;
  if (letter.disk) in.durable = in.now - *letter.disk;
  in.minute_of_day = letter.minute;
  return in;
}

void act(const Machine& machine, Scene& scene, Person person) {
  const auto say = [&](Mode mode, Origin origin) {
    if (set_mode(scene.memory, mode, origin)) scene.watch.person_sets(mode);
  };
  const Instant until = scene.now + machine.hand_lasts;
  switch (person) {
    case Person::nobody: return;
    case Person::off: return say(Mode::off, Origin::local);
    case Person::automatic: return say(Mode::automatic, Origin::local);
    case Person::network_off: return say(Mode::off, Origin::network);
    case Person::network_automatic: return say(Mode::automatic, Origin::network);
    case Person::hand:
      if (set_hand(scene.memory, until)) scene.watch.person_sets_hand(until);
      return;
    case Person::release: scene.memory.released = true; return scene.watch.person_releases();
    case Person::reset:
    case Person::network_reset:
      const Origin origin = person == Person::reset ? Origin::local : Origin::network;
      if (reset(scene.memory, origin)) scene.watch.person_resets();
      return;
  }
}

/// Another daemon begins a second later, with what the first had on the disk.
void restart(const Machine& machine, Scene& scene) {
  Model model{.id = "orchard"};
  model.pumps = {machine.pump};
  Memory memory = remember_nothing(model);
  memory.pumps[0] = scene.memory;
  const auto kept = report::parse_kept(report::to_json(keep(model, memory, scene.now)));
  scene.now += std::chrono::seconds{1};
  memory = remember_nothing(model);
  restore(model, kept.value(), memory, scene.now, std::chrono::seconds{1});
  scene.memory = memory.pumps[0];
  scene.watch.daemon_restarts(kept.value().pumps.front());
}

class Search {
 public:
  Search(const Machine& machine, std::size_t most_states)
      : machine_{machine}, most_states_{most_states}, letters_{letters_of(machine.alphabet)} {}

  Explored run() {
    meet({.memory = {.mode = machine_.pump.first_mode}, .watch = support::PumpWatch{machine_.pump}}, 0, 0);
    while (!waiting_.empty() && found_.broken.empty() && known_.size() <= most_states_) {
      const Scene scene = std::move(waiting_.front());
      waiting_.pop_front();
      go_on_from(scene);
    }
    found_.states = known_.size();
    found_.finished = waiting_.empty();
    return std::move(found_);
  }

 private:
  void go_on_from(const Scene& scene) {
    for (std::size_t at = 0; at < letters_.size(); ++at) {
      const Letter& letter = letters_[at];
      Scene next = scene;
      act(machine_, next, letter.person);
      const PumpInputs in = inputs_of(machine_, next, letter);
      next.now = in.now;
      const PumpOutcome out = solve(machine_.pump, next.memory, in);
      found_.causes.insert(out.held_by.begin(), out.held_by.end());
      for (const PumpEvent& event : out.events)
        if (event.cause) found_.causes.insert(*event.cause);
      ++found_.steps;
      const std::string broken = next.watch.look(in, next.memory, out);
      if (!broken.empty()) {
        found_.broken = broken + ", by " + way_to(scene.number) + text_of(letter);
        return;
      }
      meet(std::move(next), scene.number, at);
    }
    if (!machine_.alphabet.restarts) return;
    Scene next = scene;
    restart(machine_, next);
    ++found_.steps;
    meet(std::move(next), scene.number, letters_.size());
  }

  void meet(Scene scene, std::size_t from, std::size_t letter) {
    if (!known_.insert(digest_of(machine_, scene)).second) return;
    scene.number = steps_to_.size();
    steps_to_.push_back({from, letter});
    waiting_.push_back(std::move(scene));
  }

  [[nodiscard]] std::string way_to(std::size_t state) const {
    std::string way;
    for (; state != 0; state = steps_to_[state].from) {
      const std::size_t letter = steps_to_[state].letter;
      way.insert(0, letter < letters_.size() ? text_of(letters_[letter]) : "[restart]");
    }
    return way;
  }

  struct StepTo {
    std::size_t from;
    std::size_t letter;  ///< beyond the last: another daemon began
  };

  const Machine& machine_;
  std::size_t most_states_;
  std::vector<Letter> letters_;
  std::unordered_set<std::string> known_;
  std::vector<StepTo> steps_to_;  ///< by state
  std::deque<Scene> waiting_;
  Explored found_;
};

}  // namespace

Explored explore(const Machine& machine, std::size_t most_states) {
  return Search{machine, most_states}.run();
}

}  // namespace proof
