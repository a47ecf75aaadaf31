#include "stillwell/report/mqtt_client.hpp"

#include "stillwell/report/password_file.hpp"
#include "stillwell/report/tls_ear.hpp"
#include "stillwell/report/tls_files.hpp"

#include <algorithm>
#include <atomic>
#include <chrono>
#include <fstream>
#include <future>
#include <mutex>
#include <sstream>
#include <stdexcept>
#include <system_error>
#include <thread>
#include <utility>

#include <mqtt/async_client.h>
#include <unistd.h>

namespace stillwell::report {
namespace {

using namespace std::chrono_literals;

constexpr int kQos = 1;  // one for everything retained: mixed ones lose their order (Homie 5.0, "QoS")
constexpr auto kKeepAlive = 15s;
constexpr auto kRetryFirst = 1s;
constexpr auto kRetryLast = 30s;
constexpr auto kConnectWithin = 10s;
/// A quick reconnect cancels the will; a session must live longer than the delay for that
/// (MQTT 5.0, 3.1.3.2.2).
constexpr int kWillDelaySeconds = 5;
constexpr int kSessionSeconds = 30;
constexpr auto kAnswerWithin = 10s;
constexpr auto kLook = 100ms;
constexpr auto kGoodbyeWithin = 1s;
constexpr auto kGoneWithin = 2s;
/// Larger ones the broker keeps to itself (MQTT 5.0, 3.1.2.11.4); a command has a few hundred bytes.
constexpr int kLargestPacket = 65536;
/// Ciphers that no TLS before 1.2 has, so that none is ever agreed on, whatever openssl.cnf allows: the
/// library's own choice of a version does nothing with OpenSSL 1.1 and later. Those of TLS 1.3 are in
/// addition. With forward secrecy and authenticated, as RFC 9325 (4.2) asks.
constexpr const char* kCiphers = "ECDHE+AESGCM:ECDHE+CHACHA20:DHE+AESGCM:DHE+CHACHA20";

// Reasons of CONNACK that mean: not you (MQTT 5.0, 3.2.2.2; MQTT 3.1.1, 3.2.2.3).
bool is_about_credentials(int code) {
  constexpr int kBadUserOrPassword = 0x86;
  constexpr int kNotAuthorized = 0x87;
  constexpr int kOldBadUserOrPassword = 4;
  constexpr int kOldNotAuthorized = 5;
  return code == kBadUserOrPassword || code == kNotAuthorized || code == kOldBadUserOrPassword ||
         code == kOldNotAuthorized;
}

std::string uri_of(const config::Broker& broker) {
  const bool bare_ipv6 = broker.host.find(':') != std::string::npos && broker.host.front() != '[';
  const std::string host = bare_ipv6 ? "[" + broker.host + "]" : broker.host;
  return (broker.tls ? "ssl://" : "tcp://") + host + ":" + std::to_string(broker.port);
}

mqtt::ssl_options tls_of(const config::Broker& broker) {
  require_tls_files(broker);
  mqtt::ssl_options tls;
  if (!broker.ca.empty()) tls.set_trust_store(broker.ca);
  if (!broker.cert.empty()) tls.set_key_store(broker.cert);
  if (!broker.key.empty()) tls.set_private_key(broker.key);
  tls.set_enabled_cipher_suites(kCiphers);
  tls.set_enable_server_cert_auth(true);
  tls.set_verify(true);  // the name in the certificate too: not the library's default
  return tls;
}

/// Nothing may leave a callback: the exception would cross the C library and end the process.
template <class Action>
void guarded(const Action& action) noexcept {
  try {
    action();
  } catch (...) {  // NOLINT(bugprone-empty-catch): there is nobody to tell on a thread of the library
  }
}

/// The library has one number for everything below MQTT; of TLS it tells more while it tries.
std::string text_of(int code, mqtt::ReasonCode reason, const std::string& tls) {
  if (code != MQTTASYNC_FAILURE) return mqtt::exception{code, reason}.what();
  return tls.empty() ? "it cannot be reached" : tls;
}

/// Clients that were given up and have not come to their end.
std::atomic<int> clients_going = 0;

/// Whoever resolves a name waits for a name server, and the library then holds the lock that all of it needs.
void require_none_is_going() {
  if (clients_going == 0) return;
  throw std::runtime_error{
      "the connection before this one has not come to its end, as happens while no name server answers: look "
      "at /etc/resolv.conf, or give the broker's address in `url`"};
}

/// As much of a message as can matter, so that no sender fills our memory.
Incoming copy_of(const mqtt::message& message) {
  Incoming copy{.topic = message.get_topic(),
                .payload = message.get_payload_str().substr(0, Incoming::kMostBytes),
                .retained = message.is_retained(),
                .duplicate = message.is_duplicate(),
                .arrived = std::chrono::steady_clock::now()};
  const auto& properties = message.get_properties();
  const std::size_t count =
      std::min(properties.count(mqtt::property::USER_PROPERTY), Incoming::kMostProperties);
  for (std::size_t at = 0; at < count; ++at) {
    const auto [name, value] = mqtt::get<mqtt::string_pair>(properties, mqtt::property::USER_PROPERTY, at);
    copy.properties.emplace_back(name.substr(0, Incoming::kMostBytes), value.substr(0, Incoming::kMostBytes));
  }
  return copy;
}

}  // namespace

std::string client_id_of(const std::string& site) {
  std::ifstream file{"/etc/machine-id"};
  std::string machine;
  if (!std::getline(file, machine) || machine.empty()) {
    constexpr std::size_t kLongestName = 256;
    machine.assign(kLongestName, '\0');
    ::gethostname(machine.data(), machine.size() - 1);
    machine.resize(machine.find('\0'));
  }
  // machine-id(5) asks not to show the id itself.
  std::ostringstream id;
  id << "stillwell-" << site << '-' << std::hex << description_version(machine + site) % 0x1'0000'0000ULL;
  return id.str();
}

class MqttClient::Impl : public mqtt::iaction_listener {
 public:
  Impl(const config::Broker& broker, const MqttIdentity& identity, MqttSignals signals)
      : signals_{std::move(signals)},
        broker_{broker},
        client_{uri_of(broker), identity.client_id, creation()} {
    set_options(identity.will);
    client_.set_connected_handler([this](const std::string&) { signal([&] { signals_.connected(); }); });
    client_.set_connection_lost_handler(
        [this](const std::string& why) { signal([&] { signals_.lost(why); }); });
    client_.set_disconnected_handler([this](const mqtt::properties&, mqtt::ReasonCode reason) {
      signal([&] { signals_.lost("the broker said goodbye, reason " + std::to_string(reason)); });
    });
    client_.set_message_callback([this](const mqtt::const_message_ptr& message) {
      signal([&] {
        if (message && signals_.arrived) signals_.arrived(copy_of(*message));
      });
    });
    client_.connect(options_, nullptr, *this);
  }

  Delivery publish(const Message& message, const std::function<bool()>& give_up) {
    return settle(
        [&] {
          return client_.publish(
              mqtt::message::create(message.topic, message.payload, kQos, message.retained));
        },
        give_up);
  }

  Delivery subscribe(const std::string& topic, const std::function<bool()>& give_up) {
    constexpr bool kNoLocal = true;      // we clear retained commands on the very topic
    constexpr bool kAsPublished = true;  // or the retain flag of a live message would be hidden (3.8.3.1)
    constexpr int kSendersOwnQos = 2;
    return settle(
        [&] {
          return client_.subscribe(
              topic, kSendersOwnQos,
              mqtt::subscribe_options{kNoLocal, kAsPublished,
                                      mqtt::subscribe_options::SEND_RETAINED_ON_SUBSCRIBE});
        },
        give_up);
  }

  /// From now on no signal reaches the owner, who may be gone.
  void disown() {
    const std::scoped_lock lock{signalling_};
    owned_ = false;
  }

  void disconnect() {
    guarded([this] {
      token_ = client_.disconnect(kGoodbyeWithin);
      token_->wait_for(2 * kGoodbyeWithin);
    });
  }

 private:
  template <class Action>
  void signal(const Action& action) noexcept {
    guarded([&] {
      const std::scoped_lock lock{signalling_};
      if (owned_) action();
    });
  }

  /// Waits for the answer to what `begin` asks of the broker.
  template <class Begin>
  Delivery settle(const Begin& begin, const std::function<bool()>& give_up) {
    try {
      const auto until = std::chrono::steady_clock::now() + kAnswerWithin;
      token_ = begin();
      while (!token_->wait_for(kLook)) {
        if (give_up() || std::chrono::steady_clock::now() > until) return Delivery::late;
      }
      return Delivery::acknowledged;
    } catch (const mqtt::exception& problem) {
      constexpr int kFirstFailure = 0x80;  // MQTT 5.0, 2.4: reason codes from here on mean no
      return problem.get_reason_code() >= kFirstFailure ? Delivery::refused : Delivery::down;
    } catch (const std::exception&) {
      return Delivery::down;
    }
  }

  static mqtt::create_options creation() {
    mqtt::create_options options{MQTTVERSION_5};
    options.set_send_while_disconnected(false);
    return options;
  }

  void set_options(const Message& will) {
    options_.set_mqtt_version(MQTTVERSION_5);
    options_.set_clean_start(true);
    options_.set_keep_alive_interval(kKeepAlive);
    options_.set_connect_timeout(kConnectWithin);
    options_.set_automatic_reconnect(kRetryFirst, kRetryLast);
    mqtt::properties of_session;
    of_session.add({mqtt::property::SESSION_EXPIRY_INTERVAL, kSessionSeconds});
    of_session.add({mqtt::property::MAXIMUM_PACKET_SIZE, kLargestPacket});
    options_.set_properties(of_session);
    mqtt::properties of_will;
    of_will.add({mqtt::property::WILL_DELAY_INTERVAL, kWillDelaySeconds});
    options_.set_will(mqtt::will_options(will.topic, will.payload, kQos, will.retained, of_will));
    if (!broker_.user.empty()) options_.set_user_name(broker_.user);
    if (!broker_.password_file.empty()) options_.set_password(read_password(broker_.password_file));
    if (!broker_.tls) return;
    listen_to_tls();
    options_.set_ssl(tls_of(broker_));
  }

  void on_failure(const mqtt::token& token) override {
    signal([&] {
      const int code = token.get_return_code();
      const auto reason = token.get_reason_code();
      const bool below_mqtt = code == MQTTASYNC_FAILURE;
      const auto tls = below_mqtt && broker_.tls ? tls_trouble_heard(!broker_.cert.empty()) : std::string{};
      const bool credentials = is_about_credentials(code) || is_about_credentials(reason);
      signals_.failed(text_of(code, reason, tls), credentials   ? Hindrance::credentials
                                                  : tls.empty() ? Hindrance::unreachable
                                                                : Hindrance::tls);
    });
  }
  void on_success(const mqtt::token&) override {}  // the connected handler says it, once each time

  std::mutex signalling_;  // held while the owner is told something
  bool owned_ = true;
  MqttSignals signals_;
  const config::Broker broker_;
  mqtt::connect_options options_;  // lives as long as the client: copies lose the properties (version 1.2.0)
  /// Kept until the next one: when the wait ends, the library's thread may still be about to notify it.
  mqtt::token_ptr token_;
  mqtt::async_client client_;  // last, so that it goes first and no callback finds the rest gone
};

MqttClient::MqttClient(const config::Broker& broker, const MqttIdentity& identity, MqttSignals signals) {
  require_none_is_going();
  impl_ = std::make_unique<Impl>(broker, identity, std::move(signals));
}
MqttClient::~MqttClient() {
  impl_->disown();
  Impl* const impl = impl_.release();
  // A name server that does not answer must not hold up the end of the daemon. What waits for it is left to
  // itself: it finds nobody to tell, and ends with the process or before.
  try {
    std::promise<void> promise;
    const auto gone = promise.get_future();
    ++clients_going;
    std::thread{[impl, done = std::move(promise)]() mutable {
      delete impl;
      --clients_going;
      done.set_value();
    }}.detach();
    gone.wait_for(kGoneWithin);
  } catch (const std::system_error&) {  // no thread to be had
    --clients_going;
    delete impl;
  }
}
Delivery MqttClient::publish(const Message& message, const std::function<bool()>& give_up) {
  return impl_->publish(message, give_up);
}
Delivery MqttClient::subscribe(const std::string& topic, const std::function<bool()>& give_up) {
  return impl_->subscribe(topic, give_up);
}
void MqttClient::disconnect() {
  impl_->disconnect();
}

}  // namespace stillwell::report
