#include "support/modbus_module.hpp"

#include <sstream>
#include <string>

namespace support {
namespace {

int pair_at(const Bytes& bytes, std::size_t at) {
  return bytes[at] << 8 | bytes[at + 1];
}

bool has_good_crc(const Bytes& frame) {
  if (frame.size() < 4) return false;
  return with_crc({frame.begin(), frame.end() - 2}) == frame;
}

}  // namespace

std::uint16_t modbus_crc(const Bytes& bytes) {
  unsigned crc = 0xFFFF;
  for (const std::uint8_t byte : bytes) {
    crc ^= byte;
    for (int bit = 0; bit < 8; ++bit)
      crc = (crc & 1U) != 0 ? crc >> 1U ^ 0xA001U : crc >> 1U;
  }
  return static_cast<std::uint16_t>(crc);
}

Bytes with_crc(Bytes bytes) {
  const std::uint16_t crc = modbus_crc(bytes);
  bytes.push_back(static_cast<std::uint8_t>(crc & 0xFF));
  bytes.push_back(static_cast<std::uint8_t>(crc >> 8));
  return bytes;
}

Bytes from_hex(const std::string& text) {
  Bytes bytes;
  std::istringstream in{text};
  for (std::string byte; in >> byte;)
    bytes.push_back(static_cast<std::uint8_t>(std::stoi(byte, nullptr, 16)));
  return bytes;
}

std::vector<Burst> ModbusModule::serve(const Bytes& request) {
  if (!has_good_crc(request) || request[0] != address_) return {};
  const std::lock_guard lock{mutex_};
  ++served_;
  if (silent_) return {};
  const auto function = request[1];
  if (exception_ != 0) {
    return {{with_crc(
        {request[0], static_cast<std::uint8_t>(function | 0x80), static_cast<std::uint8_t>(exception_)})}};
  }
  return {{with_crc(answer(request))}};
}

Bytes ModbusModule::answer(const Bytes& request) {
  const std::uint8_t function = request[1];
  const int start = pair_at(request, 2);
  const int value = pair_at(request, 4);
  const bool longer = function <= 2 ? value > 8 : value > 1;
  if (function <= 4 && refuses_longer_ && longer)
    return {request[0], static_cast<std::uint8_t>(function | 0x80), 2};
  switch (function) {
    case 1:
    case 2: return read_bits(function, start, value);
    case 3:
    case 4: return read_words(function, start, value);
    case 5:
      if (!ignores_writes_) items_[{1, start}] = value == 0xFF00 ? 1 : 0;
      break;
    case 6:
      if (!ignores_writes_) items_[{3, start}] = static_cast<std::uint16_t>(value);
      break;
    default: return {request[0], static_cast<std::uint8_t>(function | 0x80), 1};
  }
  return {request.begin(), request.end() - 2};  // the echo
}

Bytes ModbusModule::read_bits(int table, int start, int count) {
  Bytes reply{static_cast<std::uint8_t>(address_), static_cast<std::uint8_t>(table),
              static_cast<std::uint8_t>((count + 7) / 8)};
  reply.resize(3 + static_cast<std::size_t>((count + 7) / 8), 0);
  for (int n = 0; n < count; ++n) {
    if (items_[{table, start + n}] != 0)
      reply[3 + static_cast<std::size_t>(n / 8)] |= static_cast<std::uint8_t>(1 << n % 8);
  }
  return reply;
}

Bytes ModbusModule::read_words(int table, int start, int count) {
  Bytes reply{static_cast<std::uint8_t>(address_), static_cast<std::uint8_t>(table),
              static_cast<std::uint8_t>(count * 2)};
  for (int n = 0; n < count; ++n) {
    const std::uint16_t word = items_[{table, start + n}];
    reply.push_back(static_cast<std::uint8_t>(word >> 8));
    reply.push_back(static_cast<std::uint8_t>(word & 0xFF));
  }
  return reply;
}

void ModbusModule::set_bit(int table, int address, bool on) {
  const std::lock_guard lock{mutex_};
  items_[{table, address}] = on ? 1 : 0;
}
void ModbusModule::set_word(int table, int address, std::uint16_t value) {
  const std::lock_guard lock{mutex_};
  items_[{table, address}] = value;
}
bool ModbusModule::bit(int table, int address) const {
  return word(table, address) != 0;
}
std::uint16_t ModbusModule::word(int table, int address) const {
  const std::lock_guard lock{mutex_};
  const auto found = items_.find({table, address});
  return found == items_.end() ? std::uint16_t{0} : found->second;
}

void ModbusModule::be_silent(bool silent) {
  const std::lock_guard lock{mutex_};
  silent_ = silent;
}
void ModbusModule::ignore_writes(bool ignore) {
  const std::lock_guard lock{mutex_};
  ignores_writes_ = ignore;
}
void ModbusModule::refuse_longer(bool refuse) {
  const std::lock_guard lock{mutex_};
  refuses_longer_ = refuse;
}
void ModbusModule::answer_exception(int code) {
  const std::lock_guard lock{mutex_};
  exception_ = code;
}
int ModbusModule::served() const {
  const std::lock_guard lock{mutex_};
  return served_;
}

}  // namespace support
