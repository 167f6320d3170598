package org.bathwarden.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.io.PrintWriter;
import java.io.StringWriter;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.TimeUnit;
import org.bathwarden.cycle.Fact;
import org.bathwarden.dosing.DosingEvent;
import org.bathwarden.dosing.Order;
import org.bathwarden.dosing.OrderState;
import org.bathwarden.line.ReasonCode;
import org.bathwarden.record.Commit;
import org.bathwarden.record.SqliteRecord;
import org.bathwarden.tank.Now;
import org.bathwarden.tank.Product;
import org.bathwarden.tank.TankId;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class OrdersCommandTest {

  private static final Now NOW = Now.at(Instant.parse("2026-03-02T06:00:00Z"));

  @TempDir private Path folder = Path.of("");
  private final StringWriter out = new StringWriter();
  private final StringWriter err = new StringWriter();

  /** Only the record is looked at; secrets and lines are not. */
  private int orders(String... more) throws IOException {
    Path config = folder.resolve("yard.yaml");
    Files.writeString(
        config, "record: {file: yard.db}\nmqtt: {password: {env: NOT_HERE}}\ntanks: [\"x\"]\n");
    List<String> args = new ArrayList<>(List.of("orders", "--config", config.toString()));
    args.addAll(List.of(more));
    out.getBuffer().setLength(0);
    err.getBuffer().setLength(0);
    return Main.commandLine()
        .setOut(new PrintWriter(out, true))
        .setErr(new PrintWriter(err, true))
        .execute(args.toArray(String[]::new));
  }

  private static Order order(long number, Product product, long ml) {
    return new Order(number, 4, product, ml, 120, 100, 7, "below target, \"by\" 0.4 %");
  }

  private static Fact prepared(String tank, Order order) {
    return new Fact.Dosed(
        new DosingEvent.OrderPrepared(new TankId(tank), NOW, order, Double.NaN, 780));
  }

  private static Fact closed(String tank, Order order, OrderState state, long deliveredMl) {
    return new Fact.Dosed(
        new DosingEvent.OrderClosed(
            new TankId(tank),
            NOW,
            order,
            state,
            deliveredMl,
            state == OrderState.STOPPED ? ReasonCode.ABANDONED : ReasonCode.NONE,
            state == OrderState.STOPPED ? Optional.of("level unsettled") : Optional.empty(),
            Double.NaN,
            false));
  }

  private void store(SqliteRecord record, List<Fact> facts) {
    assertEquals(
        Commit.Durable.DURABLE,
        record.append(facts).await(System.nanoTime() + TimeUnit.SECONDS.toNanos(20)));
  }

  private List<Fact> facts() {
    List<Fact> facts = new ArrayList<>();
    Order first = order(11, Product.CONCENTRATE, 3000);
    Order second = order(12, Product.WATER, 16000);
    Order refused = order(13, Product.CONCENTRATE, 900);
    Order lost = order(14, Product.CONCENTRATE, 901);
    Order other = order(11, Product.CONCENTRATE, 700);
    Order open = order(12, Product.WATER, 8000);
    facts.add(prepared("a", first));
    facts.add(closed("a", first, OrderState.DONE, 3010));
    facts.add(prepared("a", second));
    facts.add(prepared("b", other));
    facts.add(closed("a", second, OrderState.STOPPED, 420));
    facts.add(prepared("a", refused));
    facts.add(closed("a", refused, OrderState.REFUSED, 0));
    facts.add(prepared("a", lost));
    facts.add(closed("a", lost, OrderState.VOID, 0));
    facts.add(closed("b", other, OrderState.DONE, 700));
    facts.add(prepared("b", open));
    return facts;
  }

  @Test
  void everyOrderIsOneLineAlsoWhileTheServiceRuns() throws Exception {
    try (SqliteRecord record = SqliteRecord.open(folder.resolve("yard.db"))) {
      store(record, facts());
      assertEquals(0, orders(), err.toString());
    }
    String csv =
        """
        tank,order_number,kind,ordered_ml,delivered_ml,state,instance
        a,11,concentrate,3000,3010,done,4
        a,12,water,16000,420,stopped,4
        b,11,concentrate,700,700,done,4
        a,13,concentrate,900,0,refused,4
        a,14,concentrate,901,0,void,4
        b,12,water,8000,0,open,4
        """;
    assertEquals(csv, out.toString().replace("\r\n", "\n"));
    assertEquals(0, orders(), "also after the service has closed it");
    assertEquals(csv, out.toString().replace("\r\n", "\n"));
  }

  @Test
  void asJsonTheyAreTheSame() throws Exception {
    try (SqliteRecord record = SqliteRecord.open(folder.resolve("yard.db"))) {
      store(record, facts());
    }
    assertEquals(0, orders("--json"), err.toString());
    JsonNode rows = new ObjectMapper().readTree(out.toString());
    assertEquals(6, rows.size());
    assertEquals(
        "{\"tank\":\"a\",\"order_number\":12,\"kind\":\"water\",\"ordered_ml\":16000,"
            + "\"delivered_ml\":420,\"state\":\"stopped\",\"instance\":4,"
            + "\"reason\":\"level unsettled\",\"prepared_at\":\"2026-03-02T06:00:00Z\","
            + "\"closed_at\":\"2026-03-02T06:00:00Z\","
            + "\"because\":\"below target, \\\"by\\\" 0.4 %\"}",
        rows.get(1).toString());
    assertEquals("", rows.get(5).get("closed_at").asText(), "still open");
  }

  @Test
  void theLongListSaysWhenAndWhy() throws Exception {
    try (SqliteRecord record = SqliteRecord.open(folder.resolve("yard.db"))) {
      store(record, facts());
    }
    assertEquals(0, orders("--long"), err.toString());
    List<String> lines = out.toString().lines().toList();
    assertEquals(
        "tank,order_number,kind,ordered_ml,delivered_ml,state,instance,reason,prepared_at,closed_at,because",
        lines.get(0));
    assertEquals(
        "a,12,water,16000,420,stopped,4,level unsettled,2026-03-02T06:00:00Z,2026-03-02T06:00:00Z,"
            + "\"below target, \"\"by\"\" 0.4 %\"",
        lines.get(2));
  }

  @Test
  void withoutARecordItFailsAndSaysSo() throws Exception {
    assertEquals(1, orders());
    assertTrue(err.toString().contains("yard.db: there is none yet"), err.toString());
    assertEquals("", out.toString());
    Files.writeString(folder.resolve("yard.db"), "x".repeat(500));
    assertEquals(1, orders());
    assertTrue(err.toString().contains("it is no SQLite file"), err.toString());
  }

  @Test
  void withoutAConfigurationItFailsAndSaysSo() {
    assertEquals(
        1,
        Main.commandLine()
            .setErr(new PrintWriter(err, true))
            .execute("orders", "--config", folder.resolve("none.yaml").toString()));
    assertTrue(err.toString().contains("none.yaml"), err.toString());
  }
}
