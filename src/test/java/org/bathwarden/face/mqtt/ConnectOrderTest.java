package org.bathwarden.face.mqtt;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNotNull;

import java.io.DataInputStream;
import java.io.IOException;
import java.io.OutputStream;
import java.net.InetAddress;
import java.net.ServerSocket;
import java.net.Socket;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.ArrayBlockingQueue;
import java.util.concurrent.BlockingQueue;
import java.util.concurrent.TimeUnit;
import org.junit.jupiter.api.Test;

/**
 * The first packets of a connection, as a broker sees them that is slow to be ready. Packet types
 * by OASIS MQTT 3.1.1, table 2.1: 1 CONNECT, 3 PUBLISH, 8 SUBSCRIBE.
 */
class ConnectOrderTest {

  private final BlockingQueue<Integer> types = new ArrayBlockingQueue<>(100);

  @Test
  void theSubscriptionWaitsUntilTheBrokerHasAcknowledgedSomething() throws Exception {
    try (ServerSocket server = new ServerSocket(0, 1, InetAddress.getLoopbackAddress())) {
      Thread broker = new Thread(() -> serve(server), "broker");
      broker.setDaemon(true);
      broker.start();
      List<Integer> seen = new ArrayList<>();
      Rig rig = new Rig(server.getLocalPort());
      try (rig) {
        for (int i = 0; i < 3; i++) {
          Integer type = types.poll(10, TimeUnit.SECONDS);
          assertNotNull(type, "after " + seen + ": " + rig.face.health());
          seen.add(type);
        }
      }
      assertEquals(List.of(1, 3, 8), seen);
    }
  }

  private void serve(ServerSocket server) {
    try (Socket client = server.accept();
        DataInputStream in = new DataInputStream(client.getInputStream())) {
      OutputStream out = client.getOutputStream();
      while (true) {
        int header = in.readUnsignedByte();
        byte[] body = in.readNBytes(length(in));
        types.add(header >> 4);
        if (header >> 4 == 1) {
          out.write(new byte[] {0x20, 2, 0, 0});
        } else if (header >> 4 == 3) {
          int id = 2 + 256 * (body[0] & 0xFF) + (body[1] & 0xFF);
          out.write(new byte[] {0x40, 2, body[id], body[id + 1]});
        } else if (header >> 4 == 8) {
          out.write(new byte[] {(byte) 0x90, 3, body[0], body[1], 1});
        }
        out.flush();
      }
    } catch (IOException e) {
      types.add(-1);
    }
  }

  private static int length(DataInputStream in) throws IOException {
    int length = 0;
    int shift = 0;
    int next;
    do {
      next = in.readUnsignedByte();
      length |= (next & 0x7F) << shift;
      shift += 7;
    } while ((next & 0x80) != 0);
    return length;
  }
}
