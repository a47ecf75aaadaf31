#pragma once
// The log: plain lines on stderr, with the priority prefix that journald reads when it is listening.

namespace stillwell::service {

void set_up_logging();

}  // namespace stillwell::service
