package org.bathwarden.line;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNotEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.time.Duration;
import java.util.List;
import org.bathwarden.line.LineRig.Trouble;
import org.bathwarden.line.LineWrite.Abandon;
import org.bathwarden.line.LineWrite.Beat;
import org.bathwarden.line.LineWrite.ClaimEpoch;
import org.bathwarden.line.LineWrite.Submit;
import org.bathwarden.tank.Product;
import org.junit.jupiter.api.Test;

/**
 * What every adapter of the line must do, whatever the protocol. Run on fake, Modbus and OPC UA.
 */
public abstract class LineContractSuite extends LineTroubleSuite {
  static final long EPOCH = 17;

  // Writing

  WriteResult write(LineWrite what) {
    return rig.writer(ONE).write(what, soon());
  }

  /** Becomes holder with a fresh heartbeat, and returns the newest image. */
  TankImage takeCommand() {
    readUntilUp();
    assertEquals(WriteResult.DONE, write(new ClaimEpoch(ONE, EPOCH)));
    read();
    assertEquals(WriteResult.DONE, write(new Beat(ONE, 1, EPOCH)));
    return read();
  }

  Submit order(TankImage image, long number) {
    int basis = image.words().orElseThrow().plcHeartbeat();
    return new Submit(ONE, 1, new OrderBlock(Product.CONCENTRATE, 300, 60, number, EPOCH, basis));
  }

  @Test
  void readingAndLookingCloselyWriteNothing() {
    for (int i = 0; i < 5; i++) {
      reader.read(List.of(ONE, TWO), AT, soon());
      rig.probe().probe(TWO, AT, soon());
    }
    assertTrue(rig.reads(0) > 0);
    assertEquals(0, rig.writes());
  }

  @Test
  void nothingIsWrittenBeforeTheLineHasAnswered() {
    assertEquals(WriteResult.NOT_SENT, write(new Beat(ONE, 1, EPOCH)));
    assertEquals(0, rig.writes());
  }

  @Test
  void aWriterWritesItsOwnTankOnly() {
    readUntilUp();
    assertEquals(WriteResult.NOT_SENT, write(new Beat(TWO, 1, EPOCH)));
    assertEquals(
        WriteResult.NOT_SENT,
        rig.stopper(ONE).stop(new Beat(TWO, 1, EPOCH), new Abandon(TWO, 1), soon()));
    assertEquals(0, rig.writes());
  }

  @Test
  void claimAndHeartbeatArriveTogetherWithTheirEpoch() {
    PlcWords words = takeCommand().words().orElseThrow();
    assertEquals(EPOCH, words.holderEpoch());
    assertEquals(1, words.heartbeatSeen());
    assertEquals(4, rig.writes(), "three for the claim, one for the heartbeat");
  }

  @Test
  void anOrderIsTakenUpAndCounted() {
    TankImage image = takeCommand();
    long before = rig.writes();
    assertEquals(WriteResult.DONE, write(order(image, 17)));
    assertEquals(2, rig.writes() - before, "the block in one write, the commit in another");
    PlcWords running = read().words().orElseThrow();
    assertEquals(17, running.orderTaken());
    assertEquals(PlcWords.RUNNING, running.orderState());
    rig.advance(Duration.ofSeconds(3));
    rig.advance(Duration.ofSeconds(3));
    PlcWords done = read().words().orElseThrow();
    assertEquals(17, done.orderFinal());
    assertTrue(done.orderDeliveredMl() > 0);
  }

  @Test
  void anAbandonStopsTheRunningOrder() {
    TankImage image = takeCommand();
    assertEquals(WriteResult.DONE, write(order(image, 17)));
    read();
    assertEquals(WriteResult.DONE, write(new Abandon(ONE, 17)));
    PlcWords words = read().words().orElseThrow();
    assertEquals(17, words.abandonedTo());
    assertEquals(PlcWords.STOPPED, words.orderState());
    assertEquals(ReasonCode.ABANDONED, ReasonCode.of(words.orderReason()));
  }

  @Test
  void aStopperAbandonsAndKeepsTheHeartbeatGoing() {
    TankImage image = takeCommand();
    assertEquals(WriteResult.DONE, write(order(image, 17)));
    read();
    assertEquals(
        WriteResult.DONE,
        rig.stopper(ONE).stop(new Beat(ONE, 2, EPOCH), new Abandon(ONE, 17), soon()));
    PlcWords words = read().words().orElseThrow();
    assertEquals(17, words.abandonedTo());
    assertEquals(2, words.heartbeatSeen());
  }

  @Test
  void aLostReplyToTheBlockIsUnknownAndNothingIsCommitted() {
    TankImage image = takeCommand();
    long before = rig.writes();
    rig.next(Trouble.REPLY_LOST);
    assertEquals(WriteResult.UNKNOWN, write(order(image, 17)));
    assertEquals(1, rig.writes() - before, "never repeated, never committed");
    PlcWords words = readUntilUp().words().orElseThrow();
    assertEquals(0, words.orderTaken());
    assertEquals(0, words.refusedNumber());
  }

  @Test
  void aLostReplyToAHeartbeatIsUnknownAndOnceOnly() {
    takeCommand();
    long before = rig.writes();
    rig.next(Trouble.REPLY_LOST);
    assertEquals(WriteResult.UNKNOWN, write(new Beat(ONE, 2, EPOCH)));
    assertEquals(2, readUntilUp().words().orElseThrow().heartbeatSeen(), "it had arrived");
    assertEquals(1, rig.writes() - before, "never repeated");
  }

  @Test
  void afterADoubtfulWriteNothingIsWrittenUntilTheLineHasAnswered() {
    takeCommand();
    rig.next(Trouble.REPLY_LOST);
    assertEquals(WriteResult.UNKNOWN, write(new Beat(ONE, 2, EPOCH)));
    long before = rig.writes();
    assertEquals(WriteResult.NOT_SENT, write(new Beat(ONE, 3, EPOCH)));
    assertEquals(before, rig.writes());
    readUntilUp();
    assertEquals(WriteResult.DONE, write(new Beat(ONE, 4, EPOCH)));
  }

  @Test
  void aBlockThatReadsBackOtherwiseIsNotCommitted() {
    TankImage image = takeCommand();
    long before = rig.writes();
    rig.set(Trouble.ACK_IGNORED);
    assertEquals(WriteResult.READ_BACK_DIFFERS, write(order(image, 17)));
    assertEquals(1, rig.writes() - before);
    rig.clear(Trouble.ACK_IGNORED);
    assertEquals(0, read().words().orElseThrow().orderTaken());
  }

  @Test
  void aRefusedWriteIsNotDone() {
    TankImage image = takeCommand();
    rig.set(Trouble.DEVICE_FAILURE);
    assertEquals(WriteResult.UNKNOWN, write(order(image, 17)));
    rig.clear(Trouble.DEVICE_FAILURE);
    assertEquals(0, readUntilUp().words().orElseThrow().orderTaken());
  }

  @Test
  void aWriteKeepsItsDeadline() {
    takeCommand();
    rig.set(Trouble.SILENT);
    long start = System.nanoTime();
    assertEquals(
        WriteResult.UNKNOWN,
        rig.writer(ONE).write(new Beat(ONE, 2, EPOCH), within(Duration.ofMillis(200))));
    Duration took = Duration.ofNanos(System.nanoTime() - start);
    assertTrue(took.compareTo(Duration.ofMillis(2000)) < 0, took.toString());
  }

  @Test
  void aWriteWhoseTimeIsOverIsNotSent() {
    takeCommand();
    long before = rig.writes();
    assertEquals(
        WriteResult.NOT_SENT,
        rig.writer(ONE).write(new Beat(ONE, 2, EPOCH), new Deadline(System.nanoTime() - 1)));
    assertEquals(before, rig.writes());
  }

  @Test
  void aNumberThatDoesNotFitItsItemIsNotSent() {
    TankImage image = takeCommand();
    long before = rig.writes();
    int basis = image.words().orElseThrow().plcHeartbeat();
    OrderBlock tooLong = new OrderBlock(Product.CONCENTRATE, 300, 65_536, 17, EPOCH, basis);
    assertEquals(WriteResult.NOT_SENT, write(new Submit(ONE, 1, tooLong)));
    OrderBlock tooMuch = new OrderBlock(Product.CONCENTRATE, 0x1_0000_0000L, 60, 17, EPOCH, basis);
    assertEquals(WriteResult.NOT_SENT, write(new Submit(ONE, 1, tooMuch)));
    assertEquals(WriteResult.NOT_SENT, write(new Abandon(ONE, -1)));
    assertEquals(before, rig.writes());
  }

  @Test
  void aWriteToAPlaceThatIsNotThereIsNotDone() {
    openWith(rig.map(1).with(Item.ORDER_VOLUME_ML, Mapping.plain(rig.nowhere(Encoding.U32))));
    TankImage image = takeCommand();
    assertNotEquals(WriteResult.DONE, write(order(image, 17)));
    assertEquals(0, readUntilUp().words().orElseThrow().orderTaken());
  }

  @Test
  void overACutLinkNothingIsDone() {
    takeCommand();
    long before = rig.writes();
    rig.set(Trouble.LINK_CUT);
    assertNotEquals(WriteResult.DONE, write(new Beat(ONE, 2, EPOCH)));
    assertEquals(WriteResult.NOT_SENT, write(new Beat(ONE, 3, EPOCH)));
    rig.clear(Trouble.LINK_CUT);
    assertEquals(1, readUntilUp().words().orElseThrow().heartbeatSeen());
    assertEquals(before, rig.writes(), "nothing queued, nothing delivered later");
  }
}
