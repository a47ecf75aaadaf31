#pragma once
// How the instruments are wired: what the field needs and the rules never see. Positions are those of the
// model's lists.

#include "stillwell/field/frames/format.hpp"
#include "stillwell/quantity/index.hpp"
#include "stillwell/quantity/quantity.hpp"
#include "stillwell/quantity/time.hpp"

#include <cstdint>
#include <optional>
#include <string>
#include <variant>
#include <vector>

namespace stillwell::config {

enum class Carries : std::uint8_t { modbus, range_frames, pins };
enum class Parity : std::uint8_t { none, even, odd };

/// A gateway that carries Modbus TCP to the stations behind it.
struct TcpAddress {
  std::string host;  ///< a name or an address
  int port = 502;    ///< as registered with IANA
};

/// A board whose pins are used counts as a line, too: what it carries is pins, its port is the device file.
struct LineWiring {
  std::string id;
  std::string port;                 ///< a serial device, best by /dev/serial/by-id
  std::optional<TcpAddress> tcp{};  ///< or a gateway: then the port is empty, speed and format mean nothing
  int speed = 9600;                 ///< baud
  int data_bits = 8;
  Parity parity = Parity::none;
  int stop_bits = 1;
  Carries carries = Carries::modbus;
  Duration timeout{};  ///< for one reply
  int tries = 2;
  Duration quiet{};  ///< between requests; serial: at least 3.5 characters (1.75 ms above 19200 baud)
};

enum class Table : std::uint8_t { coil, discrete, input, holding };
/// How a number lies in registers. be: most significant register first; le: least significant first; s: with
/// the bytes of each register swapped.
enum class Encoding : std::uint8_t { u16, i16, u32be, u32le, i32be, i32le, f32be, f32le, f32bs, f32ls };

/// One number in a register table, and what its counts are worth.
struct RegisterNumber {
  Table table = Table::input;
  int address = 0;
  Encoding as = Encoding::u16;
  double unit = 1.0;       ///< metres, degrees Celsius, percent, watts or amperes of one count
  double offset = 0.0;     ///< and of none
  bool is_scaled = false;  ///< by two points, as those of a current loop at 4 mA and 20 mA
  // A count outside is no reading: the transmitter or its wire says that something is wrong.
  std::optional<double> fault_below{};
  std::optional<double> fault_above{};
};

/// A register in which the sensor itself says whether its reading is worth anything.
struct StatusRegister {
  Table table = Table::input;
  int address = 0;
  Encoding as = Encoding::u16;  ///< one of the unsigned ones
  std::uint32_t mask = 0xFFFF'FFFF;
  std::vector<std::uint32_t> good;  ///< all other words, after the mask, are a fault
};

struct ModbusGauge {
  int station = 1;
  RegisterNumber number;  ///< a distance, or a depth of conventional water
  // Companions: a reading can do without them.
  std::optional<RegisterNumber> air{};
  std::optional<RegisterNumber> humidity{};
  std::optional<RegisterNumber> water{};
  std::optional<StatusRegister> status{};
};

struct GaugeWiring {
  LineIndex line;
  Duration every{};
  std::variant<ModbusGauge, field::FrameFormat> source;
};

enum class Pull : std::uint8_t { none, up, down };

/// A pin of the computer itself, by its offset on its board.
struct Pin {
  int at = 0;
  bool active_low =
      false;  ///< contacts only: a switch's sense is turned round by its rules, and once is enough
  Pull pull = Pull::none;  ///< switches only
};

struct SwitchWiring {
  LineIndex line;
  Duration every{};
  int station = 1;
  Table table = Table::discrete;
  int address = 0;
  std::optional<Pin> pin{};  ///< then the line is a board, and station, table and address mean nothing
};

struct MeterWiring {
  LineIndex line;
  Duration every{};
  int station = 1;
  RegisterNumber number;  ///< in watts or amperes, as the meter's rules say
};

/// A drop-out timer in the relay module: written again and again while the contact is on.
struct Refresh {
  int address = 0;  ///< holding register
  Duration hold{};  ///< written as whole `unit`s
  Duration unit{};
};

struct CoilOutput {
  int address = 0;
};
struct RegisterOutput {
  int address = 0;
  std::uint16_t on = 1;
  std::uint16_t off = 0;
};

struct ContactWiring {
  std::string id;
  LineIndex line;
  int station = 1;
  std::variant<CoilOutput, RegisterOutput, Pin> output;  ///< Pin: the line is a board
  std::optional<Refresh> refresh;
  bool accepted_risk =
      false;         ///< no drop-out timer and no hard-wired cutoff: nothing but this program stops it
  Duration every{};  ///< how often it is read back while nothing changes
  bool drives_motor = false;  ///< a pump's contact or isolator
};

struct Wiring {
  std::vector<LineWiring> lines;
  std::vector<GaugeWiring> gauges;
  std::vector<SwitchWiring> switches;
  std::vector<MeterWiring> meters;
  std::vector<ContactWiring> contacts;
  Duration scan{};  ///< an order older than two of these refreshes nothing
};

}  // namespace stillwell::config
