#include "stillwell/command/examples.hpp"

#include <algorithm>
#include <array>

namespace stillwell::command {
namespace {

constexpr std::array kRun{
    Example{"stillwell run --config first-tank.yaml --state ./state --socket ./socket",
            "By hand, with its files in this folder; as a service it needs no options."},
    Example{"stillwell run --observe --config first-tank.yaml --state ./state --socket ./socket",
            "Beside a plant that is run by hand: tells what it would switch, and switches nothing."},
};
constexpr std::array kRelease{
    Example{"stillwell release", "Every pump of the service off, until each is reset."},
    Example{"stillwell release --config first-tank.yaml --state ./state --socket ./socket",
            "The same for a daemon that was started by hand."},
};
constexpr std::array kCheck{
    Example{"stillwell check", "The configuration of the service."},
    Example{"stillwell check --config config/orchard.yaml", "Another file, before it is put in its place."},
};
constexpr std::array kSchema{
    Example{"stillwell schema > stillwell.schema.json",
            "For an editor that completes and checks the keys while you type."},
};
constexpr std::array kNames{
    Example{"stillwell names tank --config config/orchard.yaml", "The tanks of the orchard, one a line."},
    Example{"stillwell names pump alarm", "What `reset` takes."},
};
constexpr std::array kChart{
    Example{"stillwell chart header --config config/orchard.yaml --step 10cm",
            "What the header holds at every 10 cm."},
    Example{"stillwell chart cistern --csv > cistern.csv", "The dip chart of the cistern for a spreadsheet."},
};
constexpr std::array kSection{
    Example{"stillwell section header --svg header.svg",
            "The header to scale, with its sensor, set points and alarms."},
    Example{"stillwell section sump", "The same of the sump, in words from the top down."},
};
constexpr std::array kMatrix{
    Example{"stillwell matrix --svg pump-house.svg", "The paper to hang up beside the pumps."},
    Example{"stillwell matrix --modes", "What each cause does in auto, in hand, off and out of service."},
};
constexpr std::array kSearch{
    Example{"stillwell search /dev/ttyUSB0", "What is on this adapter? Nothing is configured yet."},
    Example{"stillwell search shed --stations 1-20", "The line of the configuration, the likely stations."},
};
constexpr std::array kSound{
    Example{"stillwell sound header-top --for 30s", "Half a minute of soundings, and how far they scatter."},
    Example{"stillwell sound cistern-top --empty", "The cistern is empty: what to_floor should say."},
};
constexpr std::array kRehearse{
    Example{"stillwell rehearse dry-month.yaml --for 30d --svg dry-month.svg",
            "A month without rain, simulated, and its strip chart."},
    Example{
        "stillwell rehearse levels-2026-03.csv --against before.json",
        "What other set points would have done in March, where `--json > before.json` was printed before."},
};
constexpr std::array kStatus{
    Example{"stillwell status", "Levels, pumps and alarms, once."},
    Example{"stillwell status --watch --socket ./socket",
            "Live, of a daemon that was started by hand with this socket."},
};
constexpr std::array kProve{
    Example{"stillwell prove lift --blocked", "A first look without water: the pump stays off."},
    Example{"stillwell prove lift --record lift.json", "The whole test, with one person at the contactor."},
};
constexpr std::array kAcknowledge{
    Example{"stillwell acknowledge header/low", "The low alarm of the header was seen."},
    Example{"stillwell acknowledge all", "So were all that stand."},
};
constexpr std::array kReset{
    Example{"stillwell reset lift", "The cause is mended: the lift pump may run again."},
    Example{"stillwell reset header/low-low", "Ends a latched alarm whose cause has gone."},
};
constexpr std::array kAccept{
    Example{"stillwell accept cistern",
            "After a lorry has filled the cistern faster than anything else could."},
};
constexpr std::array kMode{
    Example{"stillwell mode lift off",
            "It stays off, also after a power cut. Isolate its supply before work."},
    Example{"stillwell mode lift auto", "It works by itself again, and may start at once."},
};
constexpr std::array kService{
    Example{"stillwell service header out", "The header is cleaned: its alarms rest, its pumps are off."},
    Example{"stillwell service header in", "And back."},
};
constexpr std::array kShelve{
    Example{R"(stillwell shelve header/leak --for 8h --because "filling the pool")",
            "Nobody is told of it for eight hours."},
};
constexpr std::array kUnshelve{
    Example{"stillwell unshelve header/leak", "The pool is full before its time."},
};
constexpr std::array kSilence{
    Example{"stillwell silence", "Every horn; a new alarm sounds again."},
    Example{"stillwell silence yard", "The one in the yard."},
};
constexpr std::array kSoundHorn{
    Example{"stillwell sound-horn yard", "To hear it once a month."},
};

constexpr std::array kLessons{
    Lesson{"run", kRun, "look at it with `stillwell status --watch`."},
    Lesson{"release", kRelease,
           "isolate the supply before you touch a pump; afterwards `stillwell reset PUMP` for each."},
    Lesson{"check", kCheck,
           "mend what it tells, then `systemctl restart stillwell`, or `stillwell run` by hand."},
    Lesson{"schema", kSchema, "name the file in your editor's settings for stillwell.yaml."},
    Lesson{"names", kNames, "`stillwell chart TANK` or `stillwell status` with one of them."},
    Lesson{"chart", kChart, "compare a few levels with a dip stick; `strapping` takes measured points."},
    Lesson{"section", kSection, "hold it beside the tank, and measure what it says."},
    Lesson{"matrix", kMatrix, "`stillwell prove PUMP` shows each cause once."},
    Lesson{"search", kSearch, "write what it proposes under `gauges:`, then `stillwell sound GAUGE`."},
    Lesson{"sound", kSound, "write what it proposes into the tank, then `stillwell check`."},
    Lesson{"rehearse", kRehearse, "change the set points and rehearse again, `--against` the first run."},
    Lesson{"status", kStatus, "`stillwell acknowledge ALARM` for what you have seen, then act on it."},
    Lesson{"prove", kProve, "`stillwell mode PUMP auto` puts the pump back; keep the record."},
    Lesson{"acknowledge", kAcknowledge,
           "do what the alarm asks for; `stillwell status` shows when it is over."},
    Lesson{"reset", kReset, "`stillwell status` shows what still holds the pump, if anything does."},
    Lesson{"accept", kAccept, "mend the gauge if it was wrong; `stillwell status` shows its quality."},
    Lesson{"mode", kMode, "`stillwell status` shows what the pump does now, and what holds it."},
    Lesson{"service", kService,
           "isolate the supply before you touch a pump; this is a program's memory only."},
    Lesson{"shelve", kShelve, "`stillwell status` shows when it comes back."},
    Lesson{"unshelve", kUnshelve, "`stillwell status` shows whether it still stands."},
    Lesson{"silence", kSilence, "`stillwell acknowledge ALARM`, and act on it."},
    Lesson{"sound-horn", kSoundHorn,
           "heard nothing? Look at its contact in `stillwell status`, fuse and wire."},
};

}  // namespace

std::span<const Lesson> lessons() {
  return kLessons;
}

std::string lesson_text(std::string_view command) {
  const auto lesson = std::find_if(kLessons.begin(), kLessons.end(),
                                   [&](const Lesson& row) { return row.command == command; });
  if (lesson == kLessons.end()) return {};
  std::string text = lesson->examples.size() == 1 ? "Example:" : "Examples:";
  for (const Example& example : lesson->examples)
    text += "\n  " + std::string{example.typed} + "\n      " + std::string{example.shows};
  return text + "\n\nNext: " + std::string{lesson->next};
}

}  // namespace stillwell::command
