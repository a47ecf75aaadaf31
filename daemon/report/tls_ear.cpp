#include "stillwell/report/tls_ear.hpp"

#include "stillwell/report/tls_trouble.hpp"

#include <mutex>

#include <MQTTAsync.h>

namespace stillwell::report {
namespace {

struct Heard {
  std::mutex mutex;
  TlsTrouble trouble;
};

Heard& heard() {
  static auto* const one = new Heard;  // never ended: the library may speak while the process ends
  return *one;
}

/// With the library's lock on its trace held: it notes and returns.
void hear(MQTTASYNC_TRACE_LEVELS, char* line) {
  if (line == nullptr) return;
  const std::scoped_lock lock{heard().mutex};
  heard().trouble.hear(line);
}

}  // namespace

void listen_to_tls() {
  MQTTAsync_setTraceCallback(hear);
  MQTTAsync_setTraceLevel(MQTTASYNC_TRACE_PROTOCOL);
}

std::string tls_trouble_heard(bool has_certificate) {
  const std::scoped_lock lock{heard().mutex};
  return heard().trouble.text(has_certificate);
}

}  // namespace stillwell::report
