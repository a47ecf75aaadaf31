#!/usr/bin/python3
"""A Modbus RTU server that is not ours: Debian's python3-pymodbus (3.0.0) on a serial port.

    pymodbus_server.py PORT STATION

Input registers 0.. hold 1953, 215; discrete input 3 is on; the coils are all off. Every write of a coil is told
on stdout as "coil ADDRESS on|off". Says "ready" when it listens, and ends when its standard input does.
"""

import asyncio
import sys

from pymodbus.datastore import ModbusSequentialDataBlock, ModbusServerContext, ModbusSlaveContext
from pymodbus.server.async_io import ModbusSerialServer
from pymodbus.transaction import ModbusRtuFramer


class Coils(ModbusSequentialDataBlock):
    def setValues(self, address, values):
        super().setValues(address, values)
        for offset, value in enumerate(values):
            print(f"coil {address + offset} {'on' if value else 'off'}", flush=True)


async def main(port, station):
    device = ModbusSlaveContext(
        co=Coils(0, [False] * 32),
        di=ModbusSequentialDataBlock(0, [n == 3 for n in range(32)]),
        hr=ModbusSequentialDataBlock(0, [0] * 32),
        ir=ModbusSequentialDataBlock(0, [1953, 215] + [0] * 30),
        zero_mode=True,
    )
    context = ModbusServerContext(slaves={station: device}, single=False)
    server = ModbusSerialServer(context, framer=ModbusRtuFramer, port=port, baudrate=19200)
    await server.start()
    print("ready", flush=True)
    await asyncio.get_running_loop().run_in_executor(None, sys.stdin.read)


asyncio.run(main(sys.argv[1], int(sys.argv[2])))
