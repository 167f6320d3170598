package org.bathwarden.line;

import java.time.Duration;
import java.util.Map;
import org.bathwarden.tank.TankId;

/** A PLC of two tanks and one way to reach it, with what can go wrong between them. */
public interface LineRig extends AutoCloseable {

  /** Longest a request of the adapter may take. */
  Duration REQUEST_TIMEOUT = Duration.ofMillis(800);

  /** The default map of a tank. */
  ItemMap map(int tankNumber);

  /** A place that the PLC does not have. */
  Place nowhere(Encoding encoding);

  /** The place of {@code item} of tank 1, read as another type. */
  Place as(Item item, Encoding encoding);

  /** Opens the reader. */
  LineReader open(Map<TankId, ItemMap> tanks);

  /** The close look of the reader opened last. */
  LineProbe probe();

  /** A writer for a tank of the reader opened last. */
  LineWriter writer(TankId tank);

  /** A stopper for a tank of the reader opened last. */
  LineStopper stopper(TankId tank);

  /** What the shop floor shows. */
  TestFloor floor();

  /** Runs the PLC on. */
  void advance(Duration simulated);

  /** Makes something go wrong until {@link #clear}. */
  void set(Trouble trouble);

  /** Makes the next request go wrong. */
  void next(Trouble trouble);

  /** Puts it right. */
  void clear(Trouble trouble);

  /** Requests to write that arrived at the PLC. */
  long writes();

  /** Requests to read tank {@code index} that arrived at the PLC. */
  long reads(int index);

  @Override
  void close();

  /** What goes wrong. */
  enum Trouble {
    /** The connection is cut and cannot be made. */
    LINK_CUT,
    /** Connected, and no answer ever. */
    SILENT,
    /** Replies come later than they may. */
    LATE,
    /** The request is carried out, the reply is lost. */
    REPLY_LOST,
    /** Bytes that are no reply. */
    GARBAGE,
    /** Half a reply, then the end. */
    TRUNCATED,
    /** The device says that it has failed. */
    DEVICE_FAILURE,
    /** Writes are acknowledged and ignored. */
    ACK_IGNORED,
    /** Only the PLC's heartbeat stands still. */
    FROZEN_HEARTBEAT
  }
}
