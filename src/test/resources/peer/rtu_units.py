"""Units 1 and 2 on a serial port, as an independent slave: pymodbus decodes, answers and frames.

Usage: rtu_units.py PORT. Lines on standard input change how units answer from then on:
sound, late (0.6 s after the request), crc (does not fit), foreign (from unit 9), silent, silent1 (unit 1 alone).
Each line is repeated on standard output once it holds; "ready" comes first. "writes" prints how many were asked for.
"""
import struct
import sys
import threading
import time

import serial
from pymodbus.datastore import (ModbusSequentialDataBlock, ModbusServerContext,
                                ModbusSlaveContext)
from pymodbus.factory import ServerDecoder
from pymodbus.framer.rtu_framer import ModbusRtuFramer

WORDS = 44
mode = "sound"
writes = 0


def image(tank):
    """The line contract's image of a tank at rest, heartbeat by the clock."""
    f32 = lambda value: struct.unpack(">HH", struct.pack(">f", value))
    u32 = lambda value: (value >> 16, value & 0xFFFF)
    words = [0] * WORDS
    words[0:8] = f32(800) + f32(60.5) + f32(48.625) + f32(12.25)
    words[14] = int(time.monotonic()) & 0xFFFF
    words[15] = 0x1FF
    words[33:35] = u32(5000)
    words[35:37] = u32(70000)
    words[37] = 600
    words[38] = 2
    words[39:41] = f32(12345.678)
    words[41:43] = u32(0x01020304)
    words[43] = tank
    return words


def slave():
    return ModbusSlaveContext(ir=ModbusSequentialDataBlock(0, [0] * WORDS),
                              hr=ModbusSequentialDataBlock(0, [0] * 21), zero_mode=True)


units = {1: slave(), 2: slave()}
context = ModbusServerContext(slaves=units, single=False)
port = serial.Serial(sys.argv[1], 19200, timeout=0.01)
framer = ModbusRtuFramer(ServerDecoder())


def say(word):
    print(word, flush=True)


def commands():
    global mode
    for line in sys.stdin:
        word = line.strip()
        if word == "writes":
            say(str(writes))
        else:
            mode = word
            say(word)


def answer(request):
    global writes
    unit = request.unit_id
    writes += request.function_code == 16
    units[unit].setValues(4, 0, image(unit))
    if mode == "silent" or (mode == "silent1" and unit == 1):
        return
    response = request.execute(units[unit])
    response.transaction_id = request.transaction_id
    response.unit_id = 9 if mode == "foreign" else unit
    packet = bytearray(framer.buildPacket(response))
    if mode == "crc":
        packet[-1] ^= 0x10
    if mode == "late":
        time.sleep(0.6)
    port.write(bytes(packet))


threading.Thread(target=commands, daemon=True).start()
say("ready")
while True:
    try:
        data = port.read(256)
    except serial.SerialException:
        sys.exit(0)  # the line was pulled out
    if data:
        framer.processIncomingPacket(data, answer, list(units))
