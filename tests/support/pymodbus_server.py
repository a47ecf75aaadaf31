#!/usr/bin/python3
"""A Modbus server that is not ours: Debian's python3-pymodbus (3.0.0), RTU on a serial port or TCP.

    pymodbus_server.py PORT STATION
    pymodbus_server.py tcp STATION      on a port of 127.0.0.1 that it says: "ready PORT"

Input registers 0.. hold 1953, 215; discrete input 3 is on; the coils are all off. Every write of a coil is told
on stdout as "coil ADDRESS on|off". To a request for another station it says nothing. Says "ready" when it
listens, and ends when its standard input does.
"""

import asyncio
import sys

from pymodbus.datastore import ModbusSequentialDataBlock, ModbusServerContext, ModbusSlaveContext
from pymodbus.server.async_io import ModbusSerialServer, ModbusTcpServer
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
    if port == "tcp":
        server = ModbusTcpServer(context, address=("127.0.0.1", 0))
        serving = asyncio.create_task(server.serve_forever())
        await server.serving
        print("ready", server.server.sockets[0].getsockname()[1], flush=True)
    else:
        server = ModbusSerialServer(context, framer=ModbusRtuFramer, port=port, baudrate=19200)
        await server.start()
        print("ready", flush=True)
    await asyncio.get_running_loop().run_in_executor(None, sys.stdin.read)
    if port == "tcp":
        serving.cancel()


asyncio.run(main(sys.argv[1], int(sys.argv[2])))
