#pragma once
// A Modbus RTU module for tests, with the misbehaviours of real ones. Written from the Modbus Application
// Protocol V1.1b3 (6 and 7) and Modbus over Serial Line V1.02 (2.5.1, check sum), and checked against the
// published frames by its own test: it shares no code with the client under test.

#include <cstdint>
#include <map>
#include <mutex>
#include <set>

#include "support/pty_peer.hpp"

namespace support {

/// CRC-16/MODBUS of some bytes, and the bytes with it, low byte first.
std::uint16_t modbus_crc(const Bytes& bytes);
Bytes with_crc(Bytes bytes);

/// "11 01 00 13" as bytes.
Bytes from_hex(const std::string& text);

class ModbusModule {
 public:
  explicit ModbusModule(int address) : address_{address} {}

  /// Copies its state under a lock: tests change it while the peer's thread serves.
  std::vector<Burst> serve(const Bytes& request);

  void set_bit(int table, int address, bool on);               ///< table 1: coils, 2: discrete inputs
  void set_word(int table, int address, std::uint16_t value);  ///< table 3: holding, 4: input registers
  [[nodiscard]] bool bit(int table, int address) const;
  [[nodiscard]] std::uint16_t word(int table, int address) const;

  // Misbehaviours.
  void be_silent(bool silent);
  void ignore_writes(bool ignore);  ///< echoes them, and does nothing
  void refuse_longer(bool refuse);  ///< exception 2 to reads of more than one register or eight bits
  void answer_exception(int code);  ///< to everything; 0: no more

  [[nodiscard]] int served() const;  ///< requests that were for it

 private:
  Bytes answer(const Bytes& request);
  Bytes read_bits(int table, int start, int count);
  Bytes read_words(int table, int start, int count);

  int address_;
  mutable std::mutex mutex_;
  std::map<std::pair<int, int>, std::uint16_t> items_;  ///< by table and address; what is not there is zero
  bool silent_ = false;
  bool ignores_writes_ = false;
  bool refuses_longer_ = false;
  int exception_ = 0;
  int served_ = 0;
};

}  // namespace support
