#include "stillwell/command/ask.hpp"

#include "stillwell/report/client.hpp"
#include "stillwell/report/requests.hpp"
#include "stillwell/service/exit_codes.hpp"

#include <ostream>

#include <nlohmann/json.hpp>

namespace stillwell::command {
namespace {

using nlohmann::json;

std::string request_line(const Request& request) {
  json line{{"do", request.verb}};
  if (!request.target.empty()) line["target"] = request.target;
  if (!request.argument.empty()) line["argument"] = request.argument;
  if (!request.lasts.empty()) line["for"] = request.lasts;
  if (!request.because.empty()) line["because"] = request.because;
  return line.dump(-1, ' ', false, json::error_handler_t::replace);
}

}  // namespace

int ask(const Request& request, std::ostream& out, std::ostream& err) {
  const auto reply = report::ask_daemon(request.socket, request_line(request));
  if (!reply) {
    err << "stillwell: " << reply.error() << '\n';
    return service::kUnreachable;
  }
  const auto answer = report::parse_answer(*reply);
  if (!answer) {
    err << "stillwell: " << answer.error() << '\n';
    return service::kUnreachable;
  }
  if (request.json) {
    out << *reply << '\n';
  } else {
    (answer->done ? out : err) << (answer->done ? "" : "stillwell: refused: ") << answer->text << '\n';
  }
  return answer->done ? service::kDone : service::kRefused;
}

}  // namespace stillwell::command
