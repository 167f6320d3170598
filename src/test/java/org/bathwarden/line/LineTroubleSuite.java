package org.bathwarden.line;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.time.Duration;
import java.time.Instant;
import java.util.EnumSet;
import java.util.List;
import org.bathwarden.line.LineRig.Trouble;
import org.bathwarden.signal.Point;
import org.bathwarden.signal.Quality;
import org.bathwarden.signal.Quality.Reason;
import org.bathwarden.tank.TankId;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;

/** What a reader gives of a line in trouble. */
public abstract class LineTroubleSuite extends LineReadingSuite {

  static void assertNothing(TankImage image) {
    assertEquals(EnumSet.allOf(Point.class), image.points().keySet());
    assertTrue(image.words().isEmpty());
    image
        .points()
        .forEach(
            (point, reading) -> {
              assertFalse(reading.quality().good(), point.name());
              assertTrue(Double.isNaN(reading.value()), point.name());
            });
  }

  static void assertDown(TankImage image) {
    assertFalse(image.link().up());
    assertFalse(image.link().reason().isBlank());
    assertNothing(image);
    image
        .points()
        .values()
        .forEach(reading -> assertEquals(Quality.bad(Reason.NO_LINK), reading.quality()));
  }

  // Loss and recovery

  @Test
  void aTankThatIsNotOnTheLineIsDown() {
    TankId stranger = new TankId("stranger");
    List<TankImage> images = reader.read(List.of(stranger, ONE), AT, soon());
    assertDown(images.get(0));
    assertComplete(images.get(1));
  }

  @Test
  void aCutLinkIsDownSinceTheFirstFailure() {
    Instant since = readUntilUp().link().since();
    assertEquals(since, read().link().since());
    rig.set(Trouble.LINK_CUT);
    TankImage first = read();
    assertDown(first);
    assertEquals(at, first.link().since());
    TankImage second = read();
    assertDown(second);
    assertEquals(first.link().since(), second.link().since());
    rig.clear(Trouble.LINK_CUT);
    TankImage back = readUntilUp();
    assertComplete(back);
    assertEquals(at, back.link().since());
  }

  @Test
  void theImageIsCompleteAfterEachOfFiftyReconnections() {
    readUntilUp();
    for (int i = 0; i < 50; i++) {
      rig.set(Trouble.LINK_CUT);
      assertDown(read());
      rig.clear(Trouble.LINK_CUT);
      assertComplete(readUntilUp());
    }
  }

  @ParameterizedTest
  @EnumSource(names = {"GARBAGE", "TRUNCATED", "LATE", "SILENT", "REPLY_LOST"})
  void badRepliesAreNoImageAndItRecovers(Trouble trouble) {
    readUntilUp();
    rig.set(trouble);
    at = at.plus(SECOND);
    assertDown(
        reader.read(List.of(ONE), at, within(LineRig.REQUEST_TIMEOUT.multipliedBy(2))).get(0));
    rig.clear(trouble);
    rig.floor().showLevel(0, 432, 0);
    TankImage image = readUntilUp();
    assertComplete(image);
    assertEquals(432, reading(image, Point.LEVEL).value(), "the newest, not a late one");
  }

  @Test
  void aDeviceThatSaysItHasFailedGivesNoNumber() {
    readUntilUp();
    rig.set(Trouble.DEVICE_FAILURE);
    assertNothing(read());
    rig.clear(Trouble.DEVICE_FAILURE);
    assertComplete(readUntilUp());
  }

  @Test
  void aSilentPeerCostsOneTimeoutForAllTanks() {
    readUntilUp();
    reader.read(List.of(ONE, TWO), AT, soon());
    rig.set(Trouble.SILENT);
    long start = System.nanoTime();
    List<TankImage> images =
        reader.read(List.of(ONE, TWO, ONE, TWO, ONE, TWO, ONE, TWO), AT, soon());
    Duration took = Duration.ofNanos(System.nanoTime() - start);
    images.forEach(LineContractSuite::assertDown);
    assertTrue(took.compareTo(LineRig.REQUEST_TIMEOUT.multipliedBy(4)) < 0, took.toString());
  }

  @Test
  void theDeadlineOfTheCallHolds() {
    readUntilUp();
    rig.set(Trouble.SILENT);
    for (int i = 0; i < 3; i++) {
      long start = System.nanoTime();
      assertDown(reader.read(List.of(ONE), AT, within(Duration.ofMillis(200))).get(0));
      Duration took = Duration.ofNanos(System.nanoTime() - start);
      assertTrue(took.compareTo(Duration.ofMillis(2000)) < 0, took.toString());
    }
  }

  @Test
  void aDeadlineThatHasPassedAsksNothing() {
    readUntilUp();
    long before = rig.reads(0);
    assertDown(reader.read(List.of(ONE), AT, new Deadline(System.nanoTime() - 1)).get(0));
    assertEquals(before, rig.reads(0));
    assertComplete(readUntilUp());
  }
}
