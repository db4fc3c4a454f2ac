/** The scene of the studio, handed to the page once it is unpacked. */

import { Follower } from "../../page/scene/following.js";
import { Scene } from "../../page/scene/scene.js";

globalThis.slypeScene = { Scene, Follower };
