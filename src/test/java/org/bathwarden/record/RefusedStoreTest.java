package org.bathwarden.record;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Set;
import java.util.stream.Collectors;
import org.bathwarden.cycle.Fact;
import org.bathwarden.dosing.DosingEvent;
import org.bathwarden.dosing.OrderState;
import org.bathwarden.tank.Product;
import org.junit.jupiter.api.Test;

/** What is no store of ours, or is in use, is refused and left as it is; orders are listed. */
class RefusedStoreTest extends RecordCase {

  private void refused(String... words) {
    RecordException refused =
        assertThrows(RecordException.class, () -> SqliteRecord.open(file).close());
    for (String word : words) {
      assertTrue(refused.getMessage().contains(word), refused.getMessage());
    }
    assertTrue(refused.getMessage().contains(file.toString()), refused.getMessage());
  }

  @Test
  void aSecondUserOfTheStoreIsRefused() throws Exception {
    try (SqliteRecord record = SqliteRecord.open(file)) {
      refused("another process has it open");
      append(record, List.of(event(1)));
    }
    SqliteRecord.open(file).close();
  }

  @Test
  void garbageIsRefusedAndLeftAsItIs() throws Exception {
    Files.writeString(file, "site: North Yard\n".repeat(50), StandardCharsets.UTF_8);
    byte[] before = Files.readAllBytes(file);
    refused("it is no SQLite file");
    assertArrayEquals(before, Files.readAllBytes(file));
  }

  @Test
  void aNewerStoreIsRefused() throws Exception {
    stored();
    sql("PRAGMA user_version = 99");
    refused("is of version 99", "use the newer program");
    assertThrows(RecordException.class, () -> RecordReader.open(file).close());
  }

  @Test
  void aFileWhereTheFolderShouldBeIsSaid() throws IOException {
    Files.writeString(folder.resolve("no-folder"), "");
    file = folder.resolve("no-folder/store.db");
    refused("there is no folder " + folder.resolve("no-folder"));
  }

  @Test
  void ordersAreListedWhileTheServiceHasTheStore() throws Exception {
    try (SqliteRecord record = SqliteRecord.open(file)) {
      List<Fact> untilFirstClosed = new ArrayList<>();
      for (Fact fact : YARD.facts) {
        untilFirstClosed.add(fact);
        if (fact instanceof Fact.Dosed d && d.event() instanceof DosingEvent.OrderPrepared) {
          break;
        }
      }
      append(record, untilFirstClosed);
      try (RecordReader reader = RecordReader.open(file)) {
        List<OrderList.Row> open = reader.orders();
        assertEquals(1, open.size());
        assertEquals(OrderState.OPEN, open.get(0).state());
        assertEquals(0, open.get(0).deliveredMl());
        append(record, YARD.facts.subList(untilFirstClosed.size(), YARD.facts.size()));
        List<OrderList.Row> rows = reader.orders();
        assertTrue(rows.size() >= 2, rows.toString());
        for (OrderList.Row row : rows) {
          assertEquals(YARD.id(), row.tank());
          assertEquals(OrderState.DONE, row.state());
          assertEquals(row.orderedMl(), row.deliveredMl());
          assertEquals(1, row.instance());
        }
        assertEquals(
            Set.of(Product.CONCENTRATE, Product.WATER),
            rows.stream().map(OrderList.Row::product).collect(Collectors.toSet()));
        assertEquals(rows.size(), rows.stream().map(OrderList.Row::number).distinct().count());
      }
    }
  }

  @Test
  void withoutAStoreThereIsNothingToRead() {
    RecordException none =
        assertThrows(RecordException.class, () -> RecordReader.open(file).close());
    assertTrue(none.getMessage().contains("there is none yet"), none.getMessage());
    assertFalse(Files.exists(file), "looking makes nothing");
  }

  /** A slip in the path must not begin a record that knows nothing of the last one's orders. */
  @Test
  void aFolderThatIsNotThereIsNotMade() {
    Path missing = file.resolveSibling("nowhere").resolve("record.db");
    RecordException e =
        assertThrows(RecordException.class, () -> SqliteRecord.open(missing).close());
    assertTrue(
        String.valueOf(e.getMessage()).contains("there is no folder " + missing.getParent()),
        e.getMessage());
    assertFalse(Files.exists(file.resolveSibling("nowhere")));
  }
}
