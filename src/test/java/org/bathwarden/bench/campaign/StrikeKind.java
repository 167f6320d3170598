package org.bathwarden.bench.campaign;

import java.util.Locale;
import java.util.Optional;
import org.bathwarden.simulator.physics.FaultKind;

/**
 * What can befall a line and its controller. Each has a range of how long it lasts and of its size;
 * what happens on the shop floor is the simulator's fault of the same name.
 */
enum StrikeKind {
  /** The process is killed so many effects later, and is down as long as it lasts. */
  CRASH(9, Where.PROCESS, 0, 40, 0, 14),
  /** The process stands still so many effects later, in the middle of whatever it does. */
  FREEZE(4, Where.PROCESS, 1, 30, 0, 14),
  /** A second controller, with a number and a record of its own, works on the same line. */
  SECOND_CONTROLLER(2, Where.PROCESS, 30, 240, 0, 0),

  /** The network is cut; both sides know. */
  LINK_CUT(4, Where.WIRE, 1, 60, 0, 0),
  /** Nothing arrives any more, and nobody is told. */
  HALF_OPEN(3, Where.WIRE, 1, 40, 0, 0),
  /** Requests arrive, replies do not. */
  ONE_WAY(3, Where.WIRE, 1, 20, 0, 0),
  /** Each reply takes so many tenths of a second. */
  SLOW_REPLIES(3, Where.WIRE, 2, 40, 1, 7),
  /** Each reply to a read is that of the read before. */
  STALE_IMAGE(3, Where.WIRE, 1, 20, 0, 0),
  /** Each reply to a read is the same. */
  FROZEN_IMAGE(2, Where.WIRE, 1, 40, 0, 0),
  /** The server restarts and knows its nodes by other names: gone, then answering no item. */
  SERVER_RESTART(2, Where.WIRE, 2, 40, 0, 0),
  /** Every request is answered by an exception. */
  EXCEPTION_REPLIES(2, Where.WIRE, 1, 30, 0, 0),
  /** Writes are confirmed and not carried out. */
  ACK_IGNORED(3, Where.WIRE, 1, 20, 0, 0),
  /** So many tenths of the replies are garbage. */
  GARBAGE(3, Where.WIRE, 2, 40, 1, 9),
  /** The reply to one write is lost: to the one after so many others. */
  LOST_WRITE_REPLY(5, Where.FRAME, 0, 0, 0, 3),
  /** One write is lost with its reply. */
  LOST_WRITE(4, Where.FRAME, 0, 0, 0, 3),
  /** One write arrives as late as this lasts; its reply does not. */
  LATE_WRITE(8, Where.FRAME, 1, 12, 0, 3),
  /** One write arrives at once, and as late as this lasts once more. */
  REPEATED_WRITE(3, Where.FRAME, 1, 15, 0, 3),

  /** The PLC loses power for a moment. */
  PLC_RESTART(3, Where.PLC, 0, 0, 0, 0),
  /** The PLC comes back with an empty memory. */
  PLC_MEMORY_LOST(1, Where.PLC, 0, 0, 0, 0),
  /** The PLC is in STOP. */
  PLC_STOP(2, Where.PLC, 1, 40, 0, 0),
  /** Someone turns the key switch to local. */
  KEY_LOCAL(3, Where.PLC, 1, 60, 0, 0),

  /** Someone doses at the panel: 1 concentrate, 2 water. */
  PANEL_RUN(3, Where.FLOOR, 1, 20, 1, 2),
  /** A contact welds: 1 the pump's, 2 the valve's. */
  WELDED_CONTACT(2, Where.FLOOR, 5, 60, 1, 2),
  /** Concentrate runs through the resting pump, L/min. */
  SIPHON(1, Where.FLOOR, 10, 90, 1, 2),
  /** The drum holds another product, of so many tenths of the alkali. */
  WRONG_PRODUCT(1, Where.FLOOR, 60, 400, 0, 3),
  /** The drain is open, L/min. */
  DRAIN_OPEN(1, Where.FLOOR, 10, 120, 10, 60),
  /** A permit is missing: its bit. */
  PERMIT_LOSS(4, Where.FLOOR, 1, 40, 0, 7),
  /** A permit comes and goes every 2 s: its bit. */
  FLAPPING_PERMIT(2, Where.FLOOR, 5, 40, 0, 7),
  /** The suction lance draws air; 1 if its switch says so. */
  EMPTY_DRUM(2, Where.FLOOR, 10, 120, 0, 1),
  /** The level transmitter fails and says so. */
  LEVEL_NAN(2, Where.FLOOR, 1, 60, 0, 0),
  /** The conductivity transmitter fails and says so. */
  CONDUCTIVITY_NAN(1, Where.FLOOR, 1, 90, 0, 0),
  /** The level transmitter holds its value. */
  LEVEL_STUCK(1, Where.FLOOR, 30, 200, 0, 0),
  /** The circulation pump stands. */
  CIRCULATION_OFF(1, Where.FLOOR, 5, 90, 0, 0),
  /** The pump slips: so many tenths of the flow are lost. */
  PUMP_SLIP(1, Where.FLOOR, 10, 120, 2, 9),

  /** The disk of the record is full. */
  DISK_FULL(3, Where.STORE, 2, 110, 0, 0),
  /** The record can only be read. */
  READ_ONLY(1, Where.STORE, 2, 110, 0, 0),
  /** Nothing reaches the disk until this is over. */
  DISK_SLOW(3, Where.STORE, 1, 15, 0, 0),
  /** The wall clock jumps, h. */
  CLOCK_STEP(2, Where.PROCESS, 0, 0, -3, 3),
  /** The broker is away. */
  BROKER_DOWN(2, Where.BROKER, 10, 240, 0, 0),
  /** The broker takes what it gets and its acknowledgements are lost. */
  BROKER_MUTE(1, Where.BROKER, 5, 100, 0, 0),

  /** The broker is away for hours; only with all else that befalls in that time. */
  BROKER_AWAY(0, Where.BROKER, 3_600, 10_800, 0, 0),

  /** Someone titrates. */
  TITRATION(2, Where.PEOPLE, 0, 0, 0, 0),
  /** An engineer puts in order what has tripped and returns to command mode. */
  ENGINEER(4, Where.PEOPLE, 0, 0, 0, 0),
  /** An engineer has the controller take the line; only where there are two. */
  TAKE_LINE(0, Where.PEOPLE, 0, 0, 0, 0),
  /** People drain so many tens of litres of bath and go on with the rest. */
  BATH_DRAIN(0, Where.PEOPLE, 0, 0, 5, 30),
  /** People drain the tank and make up a fresh bath; from a wrong drum if 1. */
  BATH_CHARGE(0, Where.PEOPLE, 0, 0, 0, 1),
  /** People change the bath in one procedure; 1 from a wrong drum, 2 run out first, 3 both. */
  BATH_CHANGE_OUT(0, Where.PEOPLE, 0, 0, 0, 3);

  /** Where it strikes. */
  enum Where {
    PROCESS,
    WIRE,
    FRAME,
    PLC,
    FLOOR,
    STORE,
    BROKER,
    PEOPLE
  }

  final int weight;
  final Where where;
  final int leastS;
  final int mostS;
  final int smallest;
  final int largest;

  StrikeKind(int weight, Where where, int leastS, int mostS, int smallest, int largest) {
    this.weight = weight;
    this.where = where;
    this.leastS = leastS;
    this.mostS = mostS;
    this.smallest = smallest;
    this.largest = largest;
  }

  /** Whether people work on the bath itself. */
  boolean bathWork() {
    return this == BATH_DRAIN || this == BATH_CHARGE || this == BATH_CHANGE_OUT;
  }

  /** Its name in files and lines. */
  String code() {
    return name().toLowerCase(Locale.ROOT).replace('_', '-');
  }

  static Optional<StrikeKind> byCode(String code) {
    for (StrikeKind kind : values()) {
      if (kind.code().equals(code)) {
        return Optional.of(kind);
      }
    }
    return Optional.empty();
  }

  /** The simulator's fault, for what happens on the shop floor. */
  FaultKind onFloor() {
    return FaultKind.valueOf(name());
  }
}
