import { createRequire } from 'node:module';
import { describe, expect, test } from 'vitest';
import { box, glb, gltf, imported, type Json, refusal } from '../../../test/fixtures/meshes.js';
import { siblingName } from './gltf-buffers.js';
import { importPart } from './part.js';

const draco = createRequire(import.meta.url)('draco3dgltf');
const block = box(2, 3, 4);
const read = (change: (json: Json) => void) => imported('a.gltf', gltf(block, change));
const refuse = (change: (json: Json) => void) => refusal('a.gltf', gltf(block, change));

describe('scene', () => {
  test('the same block as glTF with a data address and as GLB', async () => {
    for (const bytes of [gltf(block), glb(block)])
      expect(await imported('a.bin', bytes)).toMatchObject({
        area: 52,
        volume: 24,
        closed: true,
        groupNames: ['block'],
      });
  });

  test('scale, turn, shift and matrix of nodes above each other multiply', async () => {
    const turned = await read((json) => {
      json.nodes = [
        { children: [1], scale: [2, 1, 1] },
        { children: [2], rotation: [0, 0, Math.SQRT1_2, Math.SQRT1_2], translation: [10, 0, 0] },
        { mesh: 0, name: 'inner', matrix: [1, 0, 0, 0, 0, 1, 0, 0, 0, 0, 3, 0, 0, 0, 0, 1] },
      ];
    });
    // A quarter turn about z takes x = 0..2 to y and y = 0..3 to -x; then x is doubled, z was tripled before.
    expect(turned.volume).toBeCloseTo(24 * 6, 4);
    expect(turned.bounds.min.map((x) => Math.round(x))).toEqual([14, 0, 0]);
    expect(turned.bounds.max.map((x) => Math.round(x))).toEqual([20, 2, 12]);
  });

  test('shear in a matrix is kept, mirrored copies are turned right side out', async () => {
    const sheared = await read((json) => {
      json.nodes[0].matrix = [1, 0, 0, 0, 1, 1, 0, 0, 0, 0, -1, 0, 0, 0, 0, 1];
    });
    expect(sheared.volume).toBeCloseTo(24, 5);
    expect(sheared.repairs).toEqual({});
    expect(sheared.bounds.max[0]).toBeCloseTo(5, 5);
  });

  test('one mesh placed by several nodes counts each time, also below two parents', async () => {
    const copies = await read((json) => {
      json.scenes[0].nodes = [1, 2];
      json.nodes = [{ mesh: 0 }, { children: [0] }, { children: [0], translation: [9, 0, 0] }];
    });
    expect(copies).toMatchObject({ bodies: 2, area: 104 });
  });

  test('copies by EXT_mesh_gpu_instancing', async () => {
    const data = Buffer.from(Float32Array.of(0, 0, 0, 9, 0, 0, 0, 9, 0).buffer).toString('base64');
    const copies = await read((json) => {
      json.extensionsRequired = ['EXT_mesh_gpu_instancing'];
      json.buffers.push({ byteLength: 36, uri: `data:;base64,${data}` });
      json.bufferViews.push({ buffer: 1, byteLength: 36 });
      json.accessors.push({ bufferView: 2, componentType: 5126, count: 3, type: 'VEC3' });
      json.nodes[0].extensions = { EXT_mesh_gpu_instancing: { attributes: { TRANSLATION: 2 } } };
    });
    expect(copies).toMatchObject({ bodies: 3, area: 156 });
  });

  test('circles and explosions of nodes are refused', async () => {
    expect(
      await refuse((json) => {
        json.nodes = [{ children: [1] }, { children: [0] }];
      }),
    ).toEqual(['scene-unsound']);
    const doubling = (json: Json): void => {
      json.nodes = Array.from({ length: 60 }, (_, i) => ({ children: [i + 1, i + 1] }));
      json.nodes.push({ mesh: 0 });
    };
    expect(await refuse(doubling)).toEqual(['scene-unsound']);
    const deep = (json: Json): void => {
      json.nodes = Array.from({ length: 5000 }, (_, i) => ({ children: [i + 1] }));
      json.nodes.push({ mesh: 0 });
    };
    expect(await refuse(deep)).toEqual(['scene-unsound']);
  });
});

describe('data', () => {
  test('strips and fans become triangles, points and lines are left out', async () => {
    const sheet = async (mode: number): Promise<number> => {
      const flat = {
        vertices: Float64Array.of(0, 0, 0, 1, 0, 0, 1, 1, 0, 0, 1, 0),
        triangles: Uint32Array.of(0, 1, 2, 3),
      };
      if (mode === 5) flat.triangles = Uint32Array.of(0, 1, 3, 2);
      return (
        await imported(
          'a.gltf',
          gltf(flat, (json) => {
            json.meshes[0].primitives[0].mode = mode;
          }),
        )
      ).area;
    };
    expect(await sheet(5)).toBeCloseTo(1, 12);
    expect(await sheet(6)).toBeCloseTo(1, 12);
    expect(
      await refuse((json) => {
        json.meshes[0].primitives[0].mode = 0;
      }),
    ).toEqual(['no-triangles']);
  });

  test('sparse corrections and quantised positions', async () => {
    const patch = Buffer.concat([
      Buffer.from(Uint16Array.of(7, 0).buffer),
      Buffer.from(Float32Array.of(2, 3, 40).buffer),
    ]);
    const sparse = await read((json) => {
      json.buffers.push({ byteLength: 16, uri: `data:;base64,${patch.toString('base64')}` });
      json.bufferViews.push({ buffer: 1, byteLength: 4 }, { buffer: 1, byteOffset: 4, byteLength: 12 });
      json.accessors[0].sparse = {
        count: 1,
        indices: { bufferView: 2, componentType: 5123 },
        values: { bufferView: 3 },
      };
    });
    expect(sparse.bounds.max[2]).toBe(40);
    const steps = Buffer.from(
      Uint16Array.from([...block.vertices].flatMap((x, i) => (i % 3 === 2 ? [x * 1000, 0] : [x * 1000])))
        .buffer,
    );
    const quantised = await read((json) => {
      json.extensionsRequired = ['KHR_mesh_quantization'];
      json.buffers.push({ byteLength: steps.length, uri: `data:;base64,${steps.toString('base64')}` });
      json.bufferViews.push({ buffer: 1, byteLength: steps.length, byteStride: 8 });
      json.accessors[0] = { bufferView: 2, componentType: 5123, normalized: true, count: 8, type: 'VEC3' };
      json.nodes[0].scale = [65.535, 65.535, 65.535];
    });
    expect(quantised.volume).toBeCloseTo(24, 6);
  });

  test('indices beyond the points are left out and counted', async () => {
    const beyond = await read((json) => {
      json.accessors[0].count = 7;
    });
    expect(beyond.repairs['bad-index-faces']).toBeGreaterThan(0);
    expect(beyond.closed).toBe(false);
  });

  test.each<[string, (json: Json) => void]>([
    [
      'a count beyond the data',
      (j) => {
        j.accessors[0].count = 9;
      },
    ],
    [
      'an absurd count',
      (j) => {
        j.accessors[0].count = 1e15;
      },
    ],
    [
      'a negative count',
      (j) => {
        j.accessors[0].count = -1;
      },
    ],
    [
      'a count without data',
      (j) => {
        delete j.accessors[0].bufferView;
        j.accessors[0].count = 4e9;
      },
    ],
    [
      'an offset beyond the view',
      (j) => {
        j.accessors[0].byteOffset = 92;
      },
    ],
    [
      'an odd offset',
      (j) => {
        j.accessors[0].byteOffset = 2;
        j.accessors[0].count = 2;
      },
    ],
    [
      'a stride of nothing',
      (j) => {
        j.bufferViews[0].byteStride = 1;
      },
    ],
    [
      'a view beyond the buffer',
      (j) => {
        j.bufferViews[1].byteOffset = 1e6;
      },
    ],
    [
      'a buffer shorter than it says',
      (j) => {
        j.buffers[0].byteLength = 1e6;
      },
    ],
    [
      'a missing accessor',
      (j) => {
        j.meshes[0].primitives[0].indices = 99;
      },
    ],
    [
      'the wrong type',
      (j) => {
        j.accessors[0].type = 'MAT4';
      },
    ],
    [
      'an unknown component',
      (j) => {
        j.accessors[0].componentType = 1;
      },
    ],
    [
      'broken base64',
      (j) => {
        j.buffers[0].uri = 'data:;base64,$$$$';
      },
    ],
    [
      'an incomplete sparse part',
      (j) => {
        j.accessors[0].sparse = { count: 3 };
      },
    ],
  ])('refused: %s', async (_name, change) => {
    expect(await refuse(change)).toEqual(['gltf-inconsistent']);
  });

  test('an accessor of zeros is legal and has no area', async () => {
    expect(
      await refuse((json) => {
        delete json.accessors[0].bufferView;
      }),
    ).toEqual(['no-surface']);
  });

  test('required extensions that shape are refused by name, harmless ones are passed over', async () => {
    expect(
      await refuse((json) => {
        json.extensionsRequired = ['EXT_curves'];
      }),
    ).toEqual(['extension-not-read']);
    expect(
      await read((json) => {
        json.extensionsRequired = ['KHR_materials_unlit'];
      }),
    ).toMatchObject({ volume: 24 });
    expect(
      await refuse((json) => {
        json.extensionsRequired = ['KHR_draco_mesh_compression'];
      }),
    ).toEqual(['extension-not-read']);
  });

  test('Draco data that is none is refused', async () => {
    const bytes = gltf(block, (json) => {
      json.extensionsRequired = ['KHR_draco_mesh_compression'];
      json.meshes[0].primitives[0].extensions = {
        KHR_draco_mesh_compression: { bufferView: 0, attributes: { POSITION: 0 } },
      };
    });
    const part = await importPart({ name: 'a.gltf', bytes, draco: () => draco.createDecoderModule({}) });
    expect(part.ok ? [] : part.problems.map((p) => p.code)).toEqual(['gltf-inconsistent']);
  });
});

describe('files beside it', () => {
  test('come only from the resolver, by checked names', async () => {
    const asked: string[] = [];
    const whole = JSON.parse(new TextDecoder().decode(gltf(block)));
    const data = Buffer.from(whole.buffers[0].uri.split(',')[1], 'base64');
    const bytes = gltf(block, (json) => {
      json.buffers[0].uri = './part%20a.bin';
    });
    const sibling = async (name: string): Promise<Uint8Array> => {
      asked.push(name);
      return data;
    };
    expect((await importPart({ name: 'a.gltf', bytes, sibling })).ok).toBe(true);
    expect(asked).toEqual(['part a.bin']);
    expect(await refusal('a.gltf', bytes)).toEqual(['file-beside-missing']);
  });

  test.each([
    '../x.bin',
    'a/../../x.bin',
    '/etc/passwd',
    'C:\\x.bin',
    'file:///etc/passwd',
    'http://x/y',
    '%2e%2e/x',
    '..%2fx',
    'a\\..\\x',
    '%00',
    '%',
  ])('the address %s is refused unread', async (uri) => {
    expect(siblingName(uri)).toBeUndefined();
    expect(
      await refuse((json) => {
        json.buffers[0].uri = uri;
      }),
    ).toEqual(['address-refused']);
  });
});

test('containers that are broken, foreign or old', async () => {
  const whole = glb(block);
  expect(await refusal('a.glb', whole.slice(0, 15))).toEqual(['gltf-unreadable']);
  expect(await refusal('a.glb', whole.slice(0, 200))).toEqual(['gltf-unreadable']);
  expect(await refusal('a.gltf', '{"asset":')).toEqual(['gltf-unreadable']);
  expect(await refusal('a.gltf', '{"hello":1}')).toEqual(['gltf-unreadable']);
  expect(await refusal('a.gltf', '{"asset":{"version":"1.0"}}')).toEqual(['gltf-unreadable']);
  expect(await refusal('a.gltf', '{"asset":{"version":"2.0"}}')).toEqual(['no-triangles']);
  expect(await refusal('a.gltf', `{"asset":{"version":"2.0"},"x":${'['.repeat(2e5)}`)).toEqual([
    'gltf-unreadable',
  ]);
});
