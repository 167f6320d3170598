package org.bathwarden.line.modbus;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.net.InetAddress;
import java.net.ServerSocket;
import java.net.Socket;
import java.time.Duration;
import java.time.Instant;
import java.util.List;
import java.util.Map;
import java.util.concurrent.atomic.AtomicInteger;
import java.util.concurrent.atomic.AtomicLong;
import org.bathwarden.line.Backoff;
import org.bathwarden.line.Deadline;
import org.bathwarden.line.ItemMap;
import org.bathwarden.tank.TankId;
import org.junit.jupiter.api.Test;

/** A PLC that takes connections and says nothing is not flooded with them. */
class OutageConnectionsTest {

  private static final TankId ONE = new TankId("one");
  private static final Instant AT = Instant.parse("2026-05-04T06:00:00Z");
  private static final int OUTAGE_S = 600;
  private static final int CAP_S = 5;

  /** Takes every connection, never answers, and counts those that the other side has not closed. */
  private static final class Mute implements AutoCloseable {
    private final ServerSocket socket;
    private final AtomicInteger taken = new AtomicInteger();
    private final AtomicInteger open = new AtomicInteger();
    private final AtomicInteger mostOpen = new AtomicInteger();

    Mute() {
      try {
        socket = new ServerSocket(0, 50, InetAddress.getLoopbackAddress());
      } catch (IOException e) {
        throw new UncheckedIOException(e);
      }
      Thread accepting = new Thread(this::accept);
      accepting.setDaemon(true);
      accepting.start();
    }

    private void accept() {
      try {
        while (true) {
          Socket one = socket.accept();
          taken.incrementAndGet();
          mostOpen.accumulateAndGet(open.incrementAndGet(), Math::max);
          Thread reading = new Thread(() -> read(one));
          reading.setDaemon(true);
          reading.start();
        }
      } catch (IOException e) {
        // closed
      }
    }

    private void read(Socket one) {
      try (one) {
        while (one.getInputStream().read() >= 0) {
          // swallowed
        }
      } catch (IOException e) {
        // cut
      } finally {
        open.decrementAndGet();
      }
    }

    @Override
    public void close() throws IOException {
      socket.close();
    }
  }

  @Test
  void tenMinutesOfSilenceOpenAConnectionAtATimeAndNoMoreThanTheBackOffAllows() throws IOException {
    AtomicLong nanos = new AtomicLong();
    try (Mute plc = new Mute()) {
      ModbusSettings settings =
          new ModbusSettings(
              new ModbusRoute.Tcp("127.0.0.1", plc.socket.getLocalPort()),
              Duration.ofSeconds(1),
              Duration.ofMillis(20),
              Duration.ZERO,
              new Backoff(Duration.ofMillis(250), Duration.ofSeconds(CAP_S)),
              Map.of(ONE, ItemMap.modbusDefault(1)));
      ModbusLine line = new ModbusLine(settings, nanos::get, () -> 0);
      for (int s = 0; s < OUTAGE_S; s++) {
        Deadline by = new Deadline(nanos.get() + Duration.ofMillis(900).toNanos());
        assertEquals(1, line.read(List.of(ONE), AT.plusSeconds(s), by).size());
        nanos.addAndGet(Duration.ofSeconds(1).toNanos());
      }
      line.close();
      assertTrue(plc.taken.get() > OUTAGE_S / CAP_S / 2, "it goes on trying: " + plc.taken);
      assertTrue(plc.taken.get() <= OUTAGE_S / CAP_S + 8, "taken: " + plc.taken);
      assertTrue(plc.mostOpen.get() <= 2, "open at once: " + plc.mostOpen);
    }
  }
}
