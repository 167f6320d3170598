package org.bathwarden.simulator.wire;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNotEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.ghgande.j2mod.modbus.ModbusSlaveException;
import com.ghgande.j2mod.modbus.facade.ModbusTCPMaster;
import com.ghgande.j2mod.modbus.procimg.InputRegister;
import com.ghgande.j2mod.modbus.procimg.Register;
import com.ghgande.j2mod.modbus.procimg.SimpleRegister;
import com.ghgande.j2mod.modbus.util.ModbusUtil;
import java.io.ByteArrayOutputStream;
import java.io.DataInputStream;
import java.io.EOFException;
import java.io.IOException;
import java.net.BindException;
import java.net.InetAddress;
import java.net.InetSocketAddress;
import java.net.ServerSocket;
import java.net.Socket;
import java.net.SocketAddress;
import java.net.SocketException;
import java.net.SocketTimeoutException;
import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import org.bathwarden.simulator.plc.FromPlc;
import org.bathwarden.simulator.plc.ToPlc;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.Test;

/** The server over real sockets, with an independent master (j2mod) and with frames by hand. */
class ModbusServerTest {

  private static final byte[] READ_TWO = Csv.bytes("00 2A 00 00 00 06 01 04 00 29 00 02");
  private static final byte[] CHECK_U32_REPLY = Csv.bytes("00 2A 00 00 00 07 01 04 04 01 02 03 04");
  private static final byte[] BEAT =
      Csv.bytes("00 2B 00 00 00 0D 01 10 00 00 00 03 06 00 05 00 00 00 11");

  private final FakeMemory memory = new FakeMemory();
  private final WireFaults faults = new WireFaults();
  private final ModbusServer server =
      new ModbusServer(
          Protocol.MODBUS, memory, new WireCounter(), faults, InetAddress.getLoopbackAddress(), 0);

  ModbusServerTest() {
    memory.show(0, FromPlc.CHECK_U32, 0x01020304L);
    memory.show(0, FromPlc.CHECK_F32, Float.floatToIntBits(12345.678f));
  }

  @AfterEach
  void close() {
    server.close();
  }

  @Test
  void anIndependentMasterReadsTheCheckValues() throws Exception {
    ModbusTCPMaster master = master();
    try {
      InputRegister[] registers = master.readInputRegisters(1, 0, FromPlc.REGISTERS);
      byte[] f32 = new byte[4];
      System.arraycopy(registers[39].toBytes(), 0, f32, 0, 2);
      System.arraycopy(registers[40].toBytes(), 0, f32, 2, 2);
      assertEquals(12345.678f, ModbusUtil.registersToFloat(f32));
      assertEquals(0x0102, registers[41].getValue());
      assertEquals(0x0304, registers[42].getValue());
    } finally {
      master.disconnect();
    }
  }

  @Test
  void anIndependentMasterWritesAndReadsBack() throws Exception {
    ModbusTCPMaster master = master();
    try {
      master.writeMultipleRegisters(1, 100, registers(5, 0, 17));
      assertEquals(17, memory.written(1).get(ToPlc.HEARTBEAT_EPOCH));
      assertEquals(5, memory.written(1).get(ToPlc.CONTROLLER_HEARTBEAT));
      Register[] back = master.readMultipleRegisters(1, 100, 3);
      assertEquals(17, back[2].getValue());
      assertEquals(2, refusal(() -> master.writeMultipleRegisters(1, 100, registers(6))));
      assertEquals(1, refusal(() -> master.writeSingleRegister(1, 3, registers(1)[0])));
      assertEquals(1, refusal(() -> master.writeCoil(1, 0, true)));
      assertEquals(2, refusal(() -> master.readInputRegisters(1, 40, 10)));
    } finally {
      master.disconnect();
    }
  }

  @Test
  void aRequestInPiecesAndTwoInOneAreAnswered() throws IOException {
    try (Client client = new Client()) {
      for (byte part : READ_TWO) {
        client.send(part);
      }
      assertArrayEquals(CHECK_U32_REPLY, client.receive(13));
      ByteArrayOutputStream two = new ByteArrayOutputStream();
      two.write(READ_TWO);
      two.write(READ_TWO);
      client.send(two.toByteArray());
      assertArrayEquals(CHECK_U32_REPLY, client.receive(13));
      assertArrayEquals(CHECK_U32_REPLY, client.receive(13));
    }
  }

  @Test
  void bytesThatAreNoModbusCloseTheConnection() throws IOException {
    for (String bytes :
        List.of("47 45 54 20 2F 20 48", "00 01 00 00 00 01 01", "00 01 00 00 FF FF 01")) {
      try (Client client = new Client()) {
        client.send(Csv.bytes(bytes));
        assertTrue(client.closedByServer(), bytes);
      }
    }
  }

  @Test
  void theSeventeenthConnectionIsClosed() throws IOException {
    List<Client> clients = new ArrayList<>();
    try {
      for (int i = 0; i < 16; i++) {
        Client client = new Client();
        clients.add(client);
        client.send(READ_TWO);
        assertArrayEquals(CHECK_U32_REPLY, client.receive(13));
      }
      try (Client oneTooMany = new Client()) {
        assertTrue(oneTooMany.closedByServer());
      }
      assertEquals(16, server.connections());
    } finally {
      for (Client client : clients) {
        client.close();
      }
    }
  }

  @Test
  void aCutLinkClosesRefusesAndComesBackOnTheSamePort() throws IOException {
    try (Client client = new Client()) {
      client.send(READ_TWO);
      assertArrayEquals(CHECK_U32_REPLY, client.receive(13));
      faults.set(WireFault.LINK_CUT);
      assertTrue(client.closedByServer());
    }
    try (Client client = new Client()) {
      assertTrue(client.closedByServer(), "a cut link carries nothing");
    }
    try (ServerSocket other = new ServerSocket()) {
      SocketAddress same = new InetSocketAddress(InetAddress.getLoopbackAddress(), server.port());
      assertThrows(BindException.class, () -> other.bind(same), "the port stays the line's own");
    }
    faults.clear(WireFault.LINK_CUT);
    try (Client client = new Client()) {
      client.send(READ_TWO);
      assertArrayEquals(CHECK_U32_REPLY, client.receive(13));
    }
  }

  @Test
  void aHalfOpenLinkAcceptsAndCarriesNothingOut() throws IOException {
    faults.set(WireFault.HALF_OPEN);
    try (Client client = new Client()) {
      client.send(BEAT);
      assertTrue(client.silent());
      assertEquals(0, memory.written(0).get(ToPlc.HEARTBEAT_EPOCH));
    }
  }

  @Test
  void aLostReplyIsALostReplyAndNotALostWrite() throws IOException {
    faults.next(WireFault.LOST_REPLY, 1);
    try (Client client = new Client()) {
      client.send(BEAT);
      client.send(READ_TWO);
      assertArrayEquals(CHECK_U32_REPLY, client.receive(13), "the first reply that comes");
      assertEquals(17, memory.written(0).get(ToPlc.HEARTBEAT_EPOCH));
    }
  }

  @Test
  void aShareOfRepliesIsLostEvenlySpread() throws IOException {
    faults.set(WireFault.LOST_REPLY, 0.25);
    try (Client client = new Client()) {
      for (int i = 0; i < 8; i++) {
        client.send(READ_TWO);
      }
      client.receive(6 * 13);
      assertTrue(client.silent(), "six of eight came");
    }
  }

  @Test
  void aLateReplyComesLateUnderItsOwnId() throws IOException {
    faults.replyDelay(Duration.ofMillis(400));
    try (Client client = new Client()) {
      client.send(READ_TWO);
      assertTrue(client.silent());
      assertArrayEquals(CHECK_U32_REPLY, client.receive(13));
    }
  }

  @Test
  void aPreviousReplyCarriesThisRequestsId() throws IOException {
    try (Client client = new Client()) {
      client.send(BEAT);
      byte[] first = client.receive(12);
      faults.next(WireFault.REPLY_PREVIOUS, 1);
      client.send(READ_TWO);
      byte[] second = client.receive(12);
      assertEquals(0x2A, second[1]);
      first[1] = 0x2A;
      assertArrayEquals(first, second);
    }
  }

  @Test
  void wrongIdGarbageTruncationAndDeviceFailureStrikeAsCounted() throws IOException {
    try (Client client = new Client()) {
      faults.next(WireFault.WRONG_TRANSACTION, 1);
      client.send(READ_TWO);
      assertEquals(0x2B, client.receive(13)[1]);
      faults.next(WireFault.DEVICE_FAILURE, 1);
      client.send(BEAT);
      assertArrayEquals(Csv.bytes("00 2B 00 00 00 03 01 90 04"), client.receive(9));
      assertEquals(0, memory.written(0).get(ToPlc.HEARTBEAT_EPOCH));
      faults.next(WireFault.GARBAGE, 1);
      client.send(READ_TWO);
      assertNotEquals(0, client.receive(9)[3], "protocol id");
      client.send(READ_TWO);
      assertArrayEquals(CHECK_U32_REPLY, client.receive(13), "and then as before");
      faults.next(WireFault.TRUNCATED, 1);
      client.send(READ_TWO);
      client.receive(6);
      assertTrue(client.closedByServer());
    }
  }

  @Test
  void anIgnoredWriteIsAcknowledged() throws IOException {
    faults.set(WireFault.ACK_IGNORED);
    try (Client client = new Client()) {
      client.send(BEAT);
      assertArrayEquals(Csv.bytes("00 2B 00 00 00 06 01 10 00 00 00 03"), client.receive(12));
      assertEquals(0, memory.written(0).get(ToPlc.HEARTBEAT_EPOCH));
    }
  }

  @Test
  void aFrozenImageAndAFrozenHeartbeatStandStillUntilCleared() throws IOException {
    byte[] beatAndPermits = Csv.bytes("00 01 00 00 00 06 01 04 00 0E 00 02");
    memory.show(0, FromPlc.PLC_HEARTBEAT, 7);
    memory.show(0, FromPlc.PERMITS, 255);
    faults.set(WireFault.FROZEN_HEARTBEAT);
    memory.show(0, FromPlc.PLC_HEARTBEAT, 8);
    memory.show(0, FromPlc.PERMITS, 254);
    try (Client client = new Client()) {
      client.send(beatAndPermits);
      assertArrayEquals(Csv.bytes("00 01 00 00 00 07 01 04 04 00 07 00 FE"), client.receive(13));
      faults.set(WireFault.FROZEN_IMAGE);
      faults.clear(WireFault.FROZEN_HEARTBEAT);
      memory.show(0, FromPlc.PERMITS, 250);
      client.send(beatAndPermits);
      assertArrayEquals(Csv.bytes("00 01 00 00 00 07 01 04 04 00 08 00 FE"), client.receive(13));
      faults.clear(WireFault.FROZEN_IMAGE);
      client.send(beatAndPermits);
      assertArrayEquals(Csv.bytes("00 01 00 00 00 07 01 04 04 00 08 00 FA"), client.receive(13));
    }
    assertFalse(faults.stands(WireFault.FROZEN_IMAGE));
  }

  private ModbusTCPMaster master() throws Exception {
    ModbusTCPMaster master = new ModbusTCPMaster("127.0.0.1", server.port(), 3000, false);
    master.connect();
    master.setRetries(1);
    return master;
  }

  private static Register[] registers(int... values) {
    Register[] registers = new Register[values.length];
    for (int i = 0; i < values.length; i++) {
      registers[i] = new SimpleRegister(values[i]);
    }
    return registers;
  }

  private interface Request {
    void run() throws Exception;
  }

  private static int refusal(Request request) {
    return assertThrows(ModbusSlaveException.class, request::run).getType();
  }

  /** Sends and receives plain bytes. */
  private final class Client implements AutoCloseable {

    private final Socket socket;
    private final DataInputStream in;

    Client() throws IOException {
      socket = new Socket(InetAddress.getLoopbackAddress(), server.port());
      socket.setTcpNoDelay(true);
      in = new DataInputStream(socket.getInputStream());
    }

    void send(byte... bytes) throws IOException {
      socket.getOutputStream().write(bytes);
    }

    byte[] receive(int count) throws IOException {
      socket.setSoTimeout(5000);
      byte[] bytes = new byte[count];
      in.readFully(bytes);
      return bytes;
    }

    boolean silent() throws IOException {
      socket.setSoTimeout(150);
      try {
        in.readByte();
        return false;
      } catch (SocketTimeoutException e) {
        return true;
      }
    }

    boolean closedByServer() throws IOException {
      socket.setSoTimeout(5000);
      try {
        in.readByte();
        return false;
      } catch (EOFException | SocketException e) {
        return true;
      }
    }

    @Override
    public void close() throws IOException {
      socket.close();
    }
  }
}
