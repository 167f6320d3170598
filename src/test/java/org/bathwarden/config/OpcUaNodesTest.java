package org.bathwarden.config;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.file.Path;
import org.bathwarden.line.Encoding;
import org.bathwarden.line.Item;
import org.bathwarden.line.Place;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** Nodes and namespaces of an OPC UA line. */
class OpcUaNodesTest {

  @TempDir private Path folder = Path.of("");
  private ConfigFiles yard = new ConfigFiles(folder);

  @BeforeEach
  void layOut() {
    yard = new ConfigFiles(folder).opcUa("security: none");
  }

  @Test
  void aNodeMayLieInANamespaceOfItsOwn() throws Exception {
    yard.tank(
        "points: {ph: {node: nsu=urn:plant:cards;s=Card2.ph}, level_l: {node: s=Card1;level}}");
    var items = yard.configuration().tanks().get(0).items();
    assertEquals(
        new Place.Node("urn:plant:cards", "s=Card2.ph", Encoding.F32),
        items.mapping(Item.PH).place());
    assertEquals(
        new Place.Node("urn:bathwarden:line", "s=Card1;level", Encoding.F32),
        items.mapping(Item.LEVEL_L).place());
  }

  @ParameterizedTest
  @ValueSource(strings = {"ns=4;s=Card2.ph", "nsu=urn:plant:cards", "Card2.ph"})
  void anyOtherFormIsRefusedWithThoseThereAre(String node) {
    yard.tank("points: {ph: {node: \"" + node + "\"}}");
    String allowed = yard.only("tanks[0].points.ph").allowed();
    assertTrue(allowed.contains("s= i= g= or b=, before it nsu=URI;"), allowed);
  }

  @ParameterizedTest
  @ValueSource(strings = {"2", "\"2\""})
  void anIndexIsNoNamespace(String index) {
    yard.with("    security: none\n", "    security: none\n    namespace: " + index + "\n");
    String allowed = yard.only("connections.cell-a.namespace").allowed();
    assertTrue(allowed.startsWith("must be the URI of a namespace"), allowed);
  }

  @ParameterizedTest
  @ValueSource(
      strings = {"word_order: low-first", "byte_order: low-first", "unit: 1", "function: 3"})
  void whatOnlyARegisterHasIsRefused(String key) {
    yard.tank("points: {ph: {node: s=Card2.ph, " + key + "}}");
    String path = "tanks[0].points.ph." + key.substring(0, key.indexOf(':'));
    assertEquals("this line is OPC UA: a node has none", yard.only(path).allowed());
  }
}
